// built from 58e0d9aae6a94b197f71564a1c8b12cd0ae2d8cbc74b2f91cb4ac83b956ad86f
var e=decodeURIComponent(location.hash.slice(1));e&&(history.replaceState(null,"",location.pathname),document.getElementById("code").value=e,document.getElementById("pair").requestSubmit());

// built from 5ea2bf797ce003e1635467cd6703b63f332124c457522178f1e8a980a3043ff1
var e=decodeURIComponent(location.hash.slice(1));e&&(history.replaceState(null,"",location.pathname),document.getElementById("code").value=e,document.getElementById("pair").requestSubmit());

// built from 212b7ceda5bd01115e64fe65e7a7bbc5aecd49f4dc8ff577731b8ed0a3433e80
var e=decodeURIComponent(location.hash.slice(1));e&&(history.replaceState(null,"",location.pathname),document.getElementById("code").value=e,document.getElementById("pair").requestSubmit());

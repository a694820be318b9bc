// built from 7006c3819ba82b2d7cb8b9de39f5345f8b6cfc8570bd6fcd3b349f7efc0615af
var e=decodeURIComponent(location.hash.slice(1));e&&(history.replaceState(null,"",location.pathname),document.getElementById("code").value=e,document.getElementById("pair").requestSubmit());

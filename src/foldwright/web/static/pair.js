// built from 08c8ac401797771ff7f3f890b2f0e4c4283a8679218b85949a73185b78ad313a
var e=decodeURIComponent(location.hash.slice(1));e&&(history.replaceState(null,"",location.pathname),document.getElementById("code").value=e,document.getElementById("pair").requestSubmit());

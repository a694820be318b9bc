// built from a4a6efa503522893d46d7608619788b9b7fe02c0f8e06019fb550269b8b2237c
var e=decodeURIComponent(location.hash.slice(1));e&&(history.replaceState(null,"",location.pathname),document.getElementById("code").value=e,document.getElementById("pair").requestSubmit());

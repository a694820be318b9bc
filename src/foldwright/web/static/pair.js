// built from 8a4482b08316cc3a4ff10066f23b0c3cc0dac7974ba01ea331fca01bf72da4b2
var e=decodeURIComponent(location.hash.slice(1));e&&(history.replaceState(null,"",location.pathname),document.getElementById("code").value=e,document.getElementById("pair").requestSubmit());

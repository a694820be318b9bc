// built from 45f57853c5bbb156bb66b35a26f5ca229df85bd8df72ff9d57b938af950674a4
var e=decodeURIComponent(location.hash.slice(1));e&&(history.replaceState(null,"",location.pathname),document.getElementById("code").value=e,document.getElementById("pair").requestSubmit());

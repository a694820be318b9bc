// built from c3a3be907141af816819b43d9db1b7f6ceb74c31a26ac864c45c5cc5e100e1ac
var e=decodeURIComponent(location.hash.slice(1));e&&(history.replaceState(null,"",location.pathname),document.getElementById("code").value=e,document.getElementById("pair").requestSubmit());

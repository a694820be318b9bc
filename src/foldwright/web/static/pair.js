// built from d5f23bdb743f2bf084dec2263b4e09b75381303cd1a68a70653d0c2f2eadc100
var e=decodeURIComponent(location.hash.slice(1));e&&(history.replaceState(null,"",location.pathname),document.getElementById("code").value=e,document.getElementById("pair").requestSubmit());

// built from 634dd7b086395379960106a395b94e5f3169fba6f346b51191438327d4e6e17e
var e=decodeURIComponent(location.hash.slice(1));e&&(history.replaceState(null,"",location.pathname),document.getElementById("code").value=e,document.getElementById("pair").requestSubmit());

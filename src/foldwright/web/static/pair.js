// built from e6270aad92e8159c19a3b9d90f85d3216acc1b5a0eb080c23c7c03a77941bffd
var e=decodeURIComponent(location.hash.slice(1));e&&(history.replaceState(null,"",location.pathname),document.getElementById("code").value=e,document.getElementById("pair").requestSubmit());

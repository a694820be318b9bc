// built from ba595e42ab29ae37ce8c83587b323ff0820116d26572273695d908997e7444c2
var e=decodeURIComponent(location.hash.slice(1));e&&(history.replaceState(null,"",location.pathname),document.getElementById("code").value=e,document.getElementById("pair").requestSubmit());

// built from 93b03c81e0b3f315f6526b40cd82442bab128de86b0ce08169b491506cb6b880
var e=decodeURIComponent(location.hash.slice(1));e&&(history.replaceState(null,"",location.pathname),document.getElementById("code").value=e,document.getElementById("pair").requestSubmit());

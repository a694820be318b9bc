// built from a68143189432e246467b2321e9afa8da06e3c5bc3fef7d979a6cb16bb0f93079
var e=decodeURIComponent(location.hash.slice(1));e&&(history.replaceState(null,"",location.pathname),document.getElementById("code").value=e,document.getElementById("pair").requestSubmit());

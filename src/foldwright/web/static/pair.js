// built from 93df171905708acd1254a5c368067c44addd0883032e321f4eb15be91bfae2a7
var e=decodeURIComponent(location.hash.slice(1));e&&(history.replaceState(null,"",location.pathname),document.getElementById("code").value=e,document.getElementById("pair").requestSubmit());

// The code comes behind the # of the address, which no server sees and no log keeps.
// It is taken out of the address at once, put into the field, and sent.

const code = decodeURIComponent(location.hash.slice(1));
if (code) {
  history.replaceState(null, "", location.pathname);
  document.getElementById("code").value = code;
  document.getElementById("pair").requestSubmit();
}

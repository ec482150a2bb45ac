(function () {
  "use strict";
  var codes = JSON.parse(document.getElementById("codes").textContent);
  var DIGITS = /^[0-9a-f]+$/;

  function own(object, key) {
    return Object.prototype.hasOwnProperty.call(object, key) ? object[key] : null;
  }

  function parse(text) {
    var code = text.slice(text.lastIndexOf("#") + 1).trim();
    var parts = code.indexOf("/") >= 0 ? code.split("/") : code.split(/\s+/);
    return parts.length === 3 ? parts.map(decodeURIComponent) : null;
  }

  function verdict(text) {
    var parts = parse(text);
    if (!parts) { return "Unknown: a code holds number, revision and digest."; }
    var name = parts[0] + " revision " + parts[1];
    var found = own(own(codes, parts[0]) || {}, parts[1]);
    if (!found) { return "Unknown: " + name + " was never released."; }
    var digest = parts[2].toLowerCase();
    if (!DIGITS.test(digest)) { return "The digest has signs other than 0 to 9 and a to f."; }
    if (digest.length < 12) { return "Type at least the first 12 digits of the digest."; }
    if (found[0].indexOf(digest) !== 0) { return "Forged: the digest is not that of " + name + "."; }
    var approved = found[3] === "signed" ? "" : " Its approvals are " + found[3] + ".";
    // The page knows nothing of what came after it was made.
    var seen = " (as of " + document.getElementById("codes").dataset.asOf + ").";
    if (found[1] === "in force") { return "Current: " + name + " is in force since " + found[2] + seen + approved; }
    return "Not current: " + name + " is " + found[1] + seen + approved;
  }

  function judge(text) {
    var place = document.getElementById("verdict");
    place.hidden = !text;
    if (text) {
      try { place.textContent = verdict(text); }
      catch (error) { place.textContent = "Unknown: the code cannot be read."; }
      place.className = "verdict " + place.textContent.split(/[: ]/)[0].toLowerCase();
    }
  }

  document.getElementById("check-form").addEventListener("submit", function (event) {
    event.preventDefault();
    judge(document.getElementById("code").value.trim());
  });
  window.addEventListener("hashchange", function () { judge(location.hash.slice(1)); });
  judge(location.hash.slice(1));
}());

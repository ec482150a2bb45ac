(function () {
  "use strict";
  var table = document.getElementById("register");
  var body = table.tBodies[0];
  var rows = Array.prototype.slice.call(body.rows);
  var search = document.getElementById("search");
  var count = document.getElementById("count");
  var codes = JSON.parse(document.getElementById("codes").textContent);

  function filter() {
    var words = search.value.toLowerCase().split(/\s+/).filter(Boolean);
    var shown = 0;
    rows.forEach(function (row) {
      var text = row.textContent.toLowerCase();
      var fits = words.every(function (word) { return text.indexOf(word) >= 0; });
      row.hidden = !fits;
      shown += fits ? 1 : 0;
    });
    count.textContent = words.length ? shown + " of " + rows.length + " documents" : "";
  }

  function sort(head, index) {
    var down = head.getAttribute("aria-sort") === "ascending";
    Array.prototype.forEach.call(table.tHead.rows[0].cells, function (cell) {
      cell.setAttribute("aria-sort", "none");
    });
    head.setAttribute("aria-sort", down ? "descending" : "ascending");
    var compare = new Intl.Collator("en", { numeric: true }).compare;
    rows.sort(function (one, other) {
      var order = compare(one.cells[index].textContent.trim(), other.cells[index].textContent.trim());
      return down ? -order : order;
    });
    rows.forEach(function (row) { body.appendChild(row); });
  }

  function parse(text) {
    var code = text.slice(text.indexOf("#") + 1).trim();
    var parts = code.indexOf("/") >= 0 ? code.split("/") : code.split(/\s+/);
    return parts.length === 3 ? parts.map(decodeURIComponent) : null;
  }

  function verdict(text) {
    var parts = parse(text);
    if (!parts) { return "Unknown: a code holds number, revision and digest."; }
    var name = parts[0] + " revision " + parts[1];
    var found = (Object.prototype.hasOwnProperty.call(codes, parts[0]) ? codes[parts[0]] : {})[parts[1]];
    if (!found) { return "Unknown: " + name + " was never released."; }
    var digest = parts[2].toLowerCase();
    if (digest.length < 12) { return "Type at least the first 12 digits of the digest."; }
    if (found[0].indexOf(digest) !== 0) { return "Forged: the digest is not that of " + name + "."; }
    if (found[1] === "in force") { return "Current: " + name + " is in force since " + found[2] + "."; }
    return "Not current: " + name + " is " + found[1] + ".";
  }

  function judge(text) {
    var place = document.getElementById("verdict");
    place.hidden = !text;
    if (text) {
      try { place.textContent = verdict(text); }
      catch (error) { place.textContent = "Unknown: the code cannot be read."; }
    }
  }

  search.addEventListener("input", filter);
  Array.prototype.forEach.call(table.tHead.rows[0].cells, function (head, index) {
    head.firstElementChild.addEventListener("click", function () { sort(head, index); });
  });
  document.getElementById("check-form").addEventListener("submit", function (event) {
    event.preventDefault();
    judge(document.getElementById("code").value.trim());
  });
  window.addEventListener("hashchange", function () { judge(location.hash.slice(1)); });
  judge(location.hash.slice(1));
}());

(function () {
  "use strict";
  var table = document.getElementById("list");
  var body = table.tBodies[0];
  var rows = Array.prototype.slice.call(body.rows);
  var heads = Array.prototype.slice.call(table.tHead.rows[0].cells);
  var search = document.getElementById("search");
  var day = document.getElementById("day");
  var count = document.getElementById("count");
  var collator = new Intl.Collator("en", { numeric: true });
  // Only the list of periods has a day, with its first and last one in these columns.
  var SINCE = 3, UNTIL = 4, NONE = "–";

  function text(row, index) { return row.cells[index].textContent.trim(); }

  function inForce(row) {
    var since = text(row, SINCE), until = text(row, UNTIL);
    return since !== NONE && since <= day.value && (until === NONE || day.value <= until);
  }

  function filter() {
    var words = search.value.toLowerCase().split(/\s+/).filter(Boolean);
    var dated = Boolean(day && day.value);
    var shown = 0;
    rows.forEach(function (row) {
      var content = row.textContent.toLowerCase();
      var fits = words.every(function (word) { return content.indexOf(word) >= 0; }) && (!dated || inForce(row));
      row.hidden = !fits;
      shown += fits ? 1 : 0;
    });
    count.textContent = words.length || dated ? shown + " of " + rows.length + " lines" : "";
  }

  function sort(head, index) {
    var down = head.getAttribute("aria-sort") === "ascending";
    heads.forEach(function (cell) { cell.setAttribute("aria-sort", "none"); });
    head.setAttribute("aria-sort", down ? "descending" : "ascending");
    rows.sort(function (one, other) {
      var order = collator.compare(text(one, index), text(other, index));
      return down ? -order : order;
    });
    rows.forEach(function (row) { body.appendChild(row); });
  }

  search.addEventListener("input", filter);
  if (day) { day.addEventListener("input", filter); }
  heads.forEach(function (head, index) {
    head.firstElementChild.addEventListener("click", function () { sort(head, index); });
  });
  // Browsers keep what was typed when a page is loaded again.
  filter();
}());

// Ticks, notes and the clock of each sheet are kept in this browser only. Nothing
// is sent anywhere: the page works from a file, with no network.
(function () {
  "use strict";
  var store = null;
  try {
    store = window.localStorage;
    store.setItem("tidehold-probe", "1");
    store.removeItem("tidehold-probe");
  } catch (e) {
    store = null;
  }
  function read(key) { return store ? store.getItem(key) : null; }
  function write(key, value) {
    if (!store) { return; }
    try {
      if (value === null) { store.removeItem(key); } else { store.setItem(key, value); }
    } catch (e) { store = null; }
  }
  function two(n) { return (n < 10 ? "0" : "") + n; }
  function clock(ms) { var d = new Date(ms); return two(d.getHours()) + ":" + two(d.getMinutes()); }

  var root = document.documentElement;
  function dark(on) {
    root.classList.toggle("dark", on);
    document.getElementById("dark").setAttribute("aria-pressed", on ? "true" : "false");
    write("tidehold-dark", on ? "1" : null);
  }
  document.getElementById("dark").addEventListener("click", function () { dark(!root.classList.contains("dark")); });
  if (read("tidehold-dark") === "1") { dark(true); }

  var sheets = [].slice.call(document.querySelectorAll("article[data-key]"));
  function keyOf(el, name) { return el.closest("article").getAttribute("data-key") + "/" + name; }
  function started(article) { return Number(read(article.getAttribute("data-key") + "/started")) || 0; }
  function mark(box) {
    var line = box.closest(".line");
    if (line && box.hasAttribute("data-step")) { line.classList.toggle("done", box.checked); }
  }
  sheets.forEach(function (article) {
    [].forEach.call(article.querySelectorAll("input[type=checkbox]"), function (box) {
      box.checked = read(keyOf(box, box.id)) === "1";
      mark(box);
      box.addEventListener("change", function () {
        write(keyOf(box, box.id), box.checked ? "1" : null);
        if (box.checked && !started(article)) { write(keyOf(box, "started"), String(Date.now())); }
        mark(box);
        show();
      });
    });
    [].forEach.call(article.querySelectorAll("input[type=text]"), function (field) {
      field.value = read(keyOf(field, field.id)) || "";
      field.addEventListener("input", function () { write(keyOf(field, field.id), field.value || null); });
    });
  });
  function show() {
    var first = 0;
    sheets.forEach(function (a) { var t = started(a); if (t && (!first || t < first)) { first = t; } });
    var out = document.getElementById("elapsed");
    if (!store) { out.value = "This browser keeps no ticks: do not reload."; return; }
    if (!first) { out.value = "The clock starts with the first tick."; return; }
    var s = Math.max(0, Math.floor((Date.now() - first) / 1000));
    out.value = "First tick " + clock(first) + ". Elapsed " + two(Math.floor(s / 3600)) + ":" + two(Math.floor(s / 60) % 60) + ":" + two(s % 60) + ".";
  }
  document.getElementById("clear").addEventListener("click", function () {
    if (!window.confirm("Remove all ticks and notes from this page?")) { return; }
    sheets.forEach(function (article) {
      write(article.getAttribute("data-key") + "/started", null);
      [].forEach.call(article.querySelectorAll("input"), function (el) {
        write(keyOf(el, el.id), null);
        if (el.type === "checkbox") { el.checked = false; mark(el); } else { el.value = ""; }
      });
    });
    show();
  });
  show();
  window.setInterval(show, 1000);
}());

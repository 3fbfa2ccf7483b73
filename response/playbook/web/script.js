// Ticks, answers, notes and the clock of each card are kept in this browser only.
// Nothing is sent anywhere: the page works from a file, with no network.
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

  // The dark room follows the system until the switch is used.
  var root = document.documentElement;
  var button = document.getElementById("dark");
  var system = window.matchMedia("(prefers-color-scheme: dark)");
  function dark(on) {
    root.classList.toggle("dark", on);
    button.setAttribute("aria-pressed", on ? "true" : "false");
  }
  function follow() {
    var kept = read("tidehold-dark");
    dark(kept === null ? system.matches : kept === "1");
  }
  button.addEventListener("click", function () {
    var on = !root.classList.contains("dark");
    write("tidehold-dark", on ? "1" : "0");
    dark(on);
  });
  system.addEventListener("change", follow);
  follow();

  var cards = [].slice.call(document.querySelectorAll("article[data-key]"));
  function all(where, what) { return [].slice.call(where.querySelectorAll(what)); }
  function keyOf(el, name) { return el.closest("article").getAttribute("data-key") + "/" + name; }
  function started(article) { return Number(read(article.getAttribute("data-key") + "/started")) || 0; }
  function mark(box) {
    var line = box.closest(".line");
    if (line && box.hasAttribute("data-step")) { line.classList.toggle("done", box.checked); }
  }
  function begin(article) {
    if (!started(article)) { write(article.getAttribute("data-key") + "/started", String(Date.now())); }
  }
  cards.forEach(function (article) {
    all(article, "input[type=checkbox]").forEach(function (box) {
      box.checked = read(keyOf(box, box.id)) === "1";
      mark(box);
      box.addEventListener("change", function () {
        write(keyOf(box, box.id), box.checked ? "1" : null);
        if (box.checked) { begin(article); }
        mark(box);
        show();
      });
    });
    all(article, "input[type=radio]").forEach(function (radio) {
      radio.checked = read(keyOf(radio, radio.id)) === "1";
      radio.addEventListener("change", function () {
        all(radio.closest("fieldset"), "input").forEach(function (r) { write(keyOf(r, r.id), r.checked ? "1" : null); });
        var box = radio.closest(".line").querySelector("input[data-step]");
        box.checked = true;
        write(keyOf(box, box.id), "1");
        mark(box);
        begin(article);
        show();
        var to = document.getElementById(radio.getAttribute("data-to"));
        if (to) {
          to.scrollIntoView({ block: "start" });
          var next = to.querySelector("input");
          if (next) { next.focus({ preventScroll: true }); }
        }
      });
    });
    all(article, "input[type=text]").forEach(function (field) {
      field.value = read(keyOf(field, field.id)) || "";
      field.addEventListener("input", function () { write(keyOf(field, field.id), field.value || null); });
    });
  });
  function show() {
    var first = 0;
    cards.forEach(function (a) { var t = started(a); if (t && (!first || t < first)) { first = t; } });
    var out = document.getElementById("elapsed");
    if (!store) { out.value = "This browser keeps no ticks: do not reload."; return; }
    if (!first) { out.value = "The clock starts with the first tick."; return; }
    var s = Math.max(0, Math.floor((Date.now() - first) / 1000));
    out.value = "First tick " + clock(first) + ". Elapsed " + two(Math.floor(s / 3600)) + ":" + two(Math.floor(s / 60) % 60) + ":" + two(s % 60) + ".";
  }
  document.getElementById("clear").addEventListener("click", function () {
    if (!window.confirm("Remove all ticks and notes from this page?")) { return; }
    cards.forEach(function (article) {
      write(article.getAttribute("data-key") + "/started", null);
      all(article, "input").forEach(function (el) {
        write(keyOf(el, el.id), null);
        if (el.type === "text") { el.value = ""; } else { el.checked = false; mark(el); }
      });
    });
    show();
  });
  show();
  window.setInterval(show, 1000);
}());

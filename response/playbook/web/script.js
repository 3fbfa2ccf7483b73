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
  var memory = {}; // until the page is closed, where the browser keeps nothing
  function read(key) { return store ? store.getItem(key) : key in memory ? memory[key] : null; }
  function write(key, value) {
    if (value === null) { delete memory[key]; } else { memory[key] = value; }
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
  // A tick is kept as the time of it.
  function tick(el) { write(keyOf(el, el.id), el.checked ? String(Date.now()) : null); }
  cards.forEach(function (article) {
    all(article, "input[type=checkbox]").forEach(function (box) {
      box.checked = read(keyOf(box, box.id)) !== null;
      mark(box);
      box.addEventListener("change", function () {
        tick(box);
        if (box.checked) { begin(article); }
        mark(box);
        show();
      });
    });
    all(article, "input[type=radio]").forEach(function (radio) {
      radio.checked = read(keyOf(radio, radio.id)) !== null;
      radio.addEventListener("change", function () {
        all(radio.closest("fieldset"), "input").forEach(tick);
        var box = radio.closest(".line").querySelector("input[data-step]");
        box.checked = true;
        tick(box);
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
      field.addEventListener("input", function () {
        write(keyOf(field, field.id), field.value || null);
        write(keyOf(field, field.id) + "@", field.value ? String(Date.now()) : null);
      });
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
    if (!window.confirm("Remove all ticks and notes from this page? Its record goes with them: copy it first, from the end of the page.")) { return; }
    cards.forEach(function (article) {
      write(article.getAttribute("data-key") + "/started", null);
      all(article, "input").forEach(function (el) {
        write(keyOf(el, el.id), null);
        write(keyOf(el, el.id) + "@", null);
        if (el.type === "text") { el.value = ""; } else { el.checked = false; mark(el); }
      });
    });
    show();
  });

  // The record of the page, one line an entry, as "tidehold incident import" reads it.
  function words(el) { return el ? el.textContent.replace(/[\s\u2060]+/g, " ").trim() : ""; }
  function stamp(ms) { return new Date(ms).toISOString().slice(0, 19) + "Z"; }
  function entryOf(article, el, title) {
    var row = el.closest("tr"), line = el.closest(".line");
    if (el.type === "radio") { return null; } // its step says it
    if (row && el.type === "checkbox") {
      return row.getAttribute("data-entry") || "note " + title + ", row done: " + all(row, ".cell").map(words).join(", ");
    }
    if (row) { return "note " + title + ", " + words(row.querySelector(".cell")) + ", " + el.getAttribute("aria-label") + ": " + el.value.trim(); }
    if (!el.hasAttribute("data-step")) { return "note " + words(line); }
    var answer = line.querySelector("input[type=radio]:checked");
    return "note " + title + ", step " + el.getAttribute("data-step") + ": " + words(line.querySelector(".what")) + (answer ? " " + words(answer.parentElement).split(":")[0] : "");
  }
  function record() {
    var out = [], event = "";
    cards.forEach(function (article) {
      var title = words(article.querySelector("h1"));
      all(article, "input").forEach(function (el) {
        var text = el.type === "text", at = Number(read(keyOf(el, el.id) + (text ? "@" : "")));
        if (!at || (text ? !el.value.trim() : !el.checked)) { return; }
        var entry = entryOf(article, el, title);
        if (entry) { out.push({ at: at, text: entry }); event = event || article.getAttribute("data-event") || ""; }
      });
    });
    if (!out.length) { return "# Nothing is ticked on this page yet.\n"; }
    out.sort(function (a, b) { return a.at - b.at; });
    return "# Times are in UTC. Before it is imported, the incident must be open:\n# tidehold incident open " + (event || "EVENT") + " --at " + stamp(out[0].at) + "\n" +
      out.map(function (e) { return stamp(e.at) + " " + e.text + "\n"; }).join("");
  }
  var text = document.getElementById("record-text");
  document.getElementById("record").addEventListener("toggle", function () { if (this.open) { text.value = record(); } });
  document.getElementById("copy").addEventListener("click", function () {
    text.select();
    document.execCommand("copy");
  });
  show();
  window.setInterval(show, 1000);
}());

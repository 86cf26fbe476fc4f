"use strict";
const at = (id) => document.getElementById(id);
const SILENT_S = 12;
let rung = 0, sound = null;
let picture = null, ahead = Infinity, heard = 0, source = null;

const post = (path, body) => fetch(path, {
  method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body),
});
const here = () => Date.now() / 1000;
const bench = () => here() - (ahead === Infinity ? 0 : ahead);

// The smallest lag is the clocks' difference; one far above it is a clock that was set.
function stamp(now) {
  const lag = here() - now;
  if (lag < ahead || lag > ahead + 5) ahead = lag;
  heard = here();
}

function span(seconds) {
  const s = Math.max(0, Math.round(seconds)), two = (n) => String(n).padStart(2, "0");
  if (s >= 86400) return `${Math.floor(s / 86400)} d ${Math.floor(s % 86400 / 3600)} h`;
  if (s >= 3600) return `${Math.floor(s / 3600)}:${two(Math.floor(s % 3600 / 60))} h`;
  return `${Math.floor(s / 60)}:${two(s % 60)}`;
}

// The fullest wording that is large enough to be read across a shop, else the shortest.
const pen = document.createElement("canvas").getContext("2d");
function fit(id, wordings, share) {
  const node = at(id), taken = at("standing").offsetHeight + at("ok").offsetHeight;
  const most = share * (0.9 * innerHeight - taken), least = 0.17 * Math.min(innerWidth, innerHeight);
  const wide = document.querySelector("main").clientWidth;
  pen.font = `bold 100px ${getComputedStyle(node).fontFamily}`;
  let size = 0, chosen = "";
  for (const text of wordings) {
    chosen = text;
    size = Math.min(most, 98 * wide / Math.max(1, pen.measureText(text).width));
    if (size >= Math.min(least, most)) break;
  }
  node.textContent = chosen;
  node.style.fontSize = `${Math.floor(size)}px`;
}

function row(clock) {
  const item = document.createElement("li"), name = document.createElement("span");
  const says = document.createElement("small"), time = document.createElement("b");
  name.textContent = clock.label;
  says.textContent = clock.at ? `${clock.says}, ${clock.at}` : clock.says;
  time.textContent = clock.until === null ? "" : span(clock.until - bench());
  name.append(says);
  item.append(name, time);
  return item;
}

function draw() {
  const quiet = picture !== null && here() - heard > SILENT_S;
  document.body.classList.toggle("silent", quiet);
  at("silent").hidden = !quiet;
  if (quiet) {
    const since = new Date(heard * 1000).toLocaleTimeString([], { hour12: false });
    at("silent").textContent = `No word from the bench since ${since}. Times run on unchecked.`;
  }
  if (picture === null) return;
  at("caption").textContent = picture.caption;
  document.body.classList.toggle("lost", picture.lost);
  at("clocks").replaceChildren(...picture.clocks.map(row));
  at("foot").textContent = picture.foot;
  at("missed").hidden = picture.missed.length === 0;
  at("missed").textContent = `What happened? ${picture.missed.join(", ")}`;
  const scale = picture.scale, speaks = Boolean(scale) && !["gone", "silent"].includes(scale.state);
  document.body.classList.toggle("weighing", speaks && !quiet);
  at("scale").hidden = !speaks || quiet;
  if (speaks) { fit("digits", [scale.text], 0.5); at("state").textContent = scale.state; }
  // Only what spoils something may stand beside the scale's digits.
  const standing = picture.standing.filter((one) => one.spoils || !speaks || quiet);
  if (picture.standing.length > rung) ring();
  rung = picture.standing.length;
  for (const id of ["standing", "ok"]) at(id).hidden = standing.length === 0;
  document.body.classList.toggle("called", standing.length > 0);
  const more = picture.standing.length > 1 ? ` (+${picture.standing.length - 1})` : "";
  at("standing").textContent = standing.length ? standing[0].text + more : "";
  fit("what", picture.what, 0.25);
  fit("amount", picture.amount, 0.25);
  fit("left", [time()], 0.4);
}

function time() {
  if (picture.until === null) return "";
  const s = picture.until - bench();
  return picture.lost ? `${span(-s)} AGO` : span(s);
}

function ring() {
  if (sound === null) return;
  const tone = sound.createOscillator();
  tone.connect(sound.destination);
  tone.start();
  tone.stop(sound.currentTime + 0.6);
  if (navigator.vibrate) navigator.vibrate(400);
}

function show(id) { for (const one of ["pair", "shop"]) at(one).hidden = one !== id; }

function follow() {
  if (source) source.close();
  source = new EventSource("/events");
  source.onmessage = (event) => { picture = JSON.parse(event.data); stamp(picture.now); show("shop"); draw(); };
  source.addEventListener("beat", (event) => { stamp(Number(event.data)); });
}

async function begin() {
  const answer = await fetch("/now").catch(() => null);
  if (answer && answer.status === 401) { show("pair"); return; }
  if (answer && answer.ok) { picture = await answer.json(); stamp(picture.now); show("shop"); draw(); }
  follow();
}

async function pair(code) {
  const answer = await post("/pair", { code });
  if (answer.ok) { begin(); return; }
  at("pair-said").textContent = answer.status === 429
    ? "Too many tries: wait a minute." : "Not this code. Ask the bench for a new one.";
  show("pair");
}

at("go").onclick = () => pair(at("code").value);
at("code").onkeydown = (event) => { if (event.key === "Enter") pair(at("code").value); };
at("tones").onclick = () => { sound = new AudioContext(); at("tones").hidden = true; ring(); };
at("ok").onclick = () => post("/ok", {});
document.addEventListener("visibilitychange", () => { if (!document.hidden) begin(); });
addEventListener("resize", draw);
setInterval(draw, 1000);
const code = location.hash.slice(1);
if (code) { history.replaceState(null, "", location.pathname); pair(code); } else { begin(); }

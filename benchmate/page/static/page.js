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

function stamp(now) { ahead = Math.min(ahead, here() - now); heard = here(); }

function left(until) {
  const s = Math.max(0, Math.round(until - bench()));
  const two = (n) => String(n).padStart(2, "0");
  if (s >= 86400) return `${Math.floor(s / 86400)} d ${Math.floor(s % 86400 / 3600)} h`;
  if (s >= 3600) return `${Math.floor(s / 3600)} h ${two(Math.floor(s % 3600 / 60))}`;
  return `${Math.floor(s / 60)}:${two(s % 60)}`;
}

function row(clock) {
  const item = document.createElement("li"), name = document.createElement("span");
  const time = document.createElement("b");
  name.textContent = `${clock.label}: ${clock.says}`;
  time.textContent = clock.until === null ? "" : `${clock.at}  ${left(clock.until)}`;
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
  at("next").textContent = picture.next;
  at("amount").textContent = picture.amount;
  at("left").textContent = picture.until === null ? "" : left(picture.until);
  at("clocks").replaceChildren(...picture.clocks.map(row));
  at("foot").textContent = picture.foot;
  at("missed").hidden = picture.missed.length === 0;
  at("missed").textContent = `What happened? ${picture.missed.join(", ")}`;
  const scale = picture.scale, speaks = Boolean(scale) && !["gone", "silent"].includes(scale.state);
  document.body.classList.toggle("weighing", speaks && !quiet);
  at("scale").hidden = !speaks || quiet;
  if (speaks) { at("digits").textContent = scale.text; at("state").textContent = scale.state; }
  if (picture.standing.length > rung) ring();
  rung = picture.standing.length;
  at("standing").hidden = picture.standing.length === 0;
  const more = picture.standing.length > 1 ? ` (+${picture.standing.length - 1})` : "";
  at("standing-text").textContent = (picture.standing[0] || "") + more;
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
setInterval(draw, 1000);
const code = location.hash.slice(1);
if (code) { history.replaceState(null, "", location.pathname); pair(code); } else { begin(); }

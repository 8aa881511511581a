
"use strict";
// Turns pages and units, and shows the case the dial stands at. It computes no
// golf: every case was worked out before the round and stands in the page.
(() => {
  const root = document.documentElement;
  const holes = [...document.querySelectorAll(".hole")];
  const byId = (name) => document.getElementById(name);
  const which = byId("which");
  const told = byId("told");
  // Where the winds stand from the middle of the dial: on its rim, and still
  // air below it, where no other one comes.
  const RIM = 62;
  const CALM = [-62, 92];
  const place = (spot) => {
    if (!("turn" in spot.dataset)) { return CALM; }
    const turn = Number(spot.dataset.turn) * Math.PI / 180;
    return [Math.sin(turn) * RIM, -Math.cos(turn) * RIM];
  };
  let now = 0;
  let wind = 0;

  // A phone may forbid a file to keep anything: then it starts anew each time.
  const keep = (key, value) => { try { localStorage.setItem(key, value); } catch { /* no store */ } };
  const kept = (key) => { try { return localStorage.getItem(key); } catch { return null; } };

  // The balls of a case: the same launches where the swing is the same, so that they move
  // there; other balls are there at once.
  const moveBalls = (group, at) => {
    const ends = group.dataset.at.split(";").map((one) => one.split(" ").map(Number));
    const first = ends[0];
    const there = ends[at];
    const before = Number(group.dataset.case ?? 0);
    const same = group.dataset.same;
    group.toggleAttribute("data-jumps", same[before] !== same[at] || same[at] === "0");
    group.dataset.case = String(at);
    const whole = there.length === first.length;
    group.toggleAttribute("hidden", !whole);
    if (!whole) { return; }
    [...group.children].forEach((ball, k) => {
      const [x, y, mark] = there.slice(3 * k, 3 * k + 3);
      ball.setAttribute("href", `#${group.dataset.marks}${mark}`);
      ball.style.transform = `translate(${x - first[3 * k]}px, ${y - first[3 * k + 1]}px)`;
    });
  };

  const showCase = (hole, asked) => {
    const cases = hole.querySelectorAll(".spot input");
    const at = asked < cases.length ? asked : 0;
    for (const part of hole.querySelectorAll(".case")) {
      part.toggleAttribute("hidden", Number(part.dataset.case) !== at);
    }
    hole.querySelectorAll("g.balls").forEach((group) => moveBalls(group, at));
    unsay(hole);
    roam(hole);
    cases.forEach((input, index) => { input.checked = index === at; });
    const spot = cases[at] && cases[at].closest(".spot");
    const arrow = hole.querySelector(".arrow");
    if (spot && arrow) {
      const blows = "turn" in spot.dataset;
      arrow.toggleAttribute("hidden", !blows);
      if (blows) { arrow.setAttribute("transform", `rotate(${spot.dataset.turn})`); }
    }
  };

  // What a picture names, of the case and the unit that are shown. One of them is reached by
  // Tab, the others from it by the arrow keys.
  const picture = (hole) => hole.querySelector(hole.hasAttribute("data-near") ? ".plate" : ".map");
  const names = (hole) => [...picture(hole).querySelectorAll(
    `.case:not([hidden]) > .${root.dataset.unit} > .named`)];
  const roam = (hole) => {
    for (const named of hole.querySelectorAll(".named[tabindex]")) { named.setAttribute("tabindex", "-1"); }
    const all = names(hole);
    const first = all.find((named) => named.querySelector("text")) ?? all[0];
    for (const named of all) {
      named.setAttribute("role", "button");
      // What is seen comes first in what is spoken (WCAG 2.2, 2.5.3).
      const seen = named.querySelector("text");
      const title = named.querySelector("title").textContent;
      named.setAttribute("aria-label", seen ? `${seen.textContent}: ${title}` : title);
      named.setAttribute("tabindex", named === first ? "0" : "-1");
    }
  };
  const unsay = (hole) => {
    hole.removeAttribute("data-said");
    hole.querySelector(".caption").textContent = "";
    for (const named of hole.querySelectorAll(".named[data-said]")) { named.removeAttribute("data-said"); }
  };
  const name = (hole, named) => {
    unsay(hole);
    named.setAttribute("data-said", "");
    hole.setAttribute("data-said", "");
    hole.querySelector(".caption").textContent = named.querySelector("title").textContent;
  };
  // The name nearest to a place on the screen, its number or the thing itself; none farther
  // away than a thumb is wide.
  const THUMB = 30;
  const nearest = (hole, x, y) => {
    let best = null;
    let least = THUMB;
    for (const named of names(hole)) {
      for (const part of named.querySelectorAll("text, .mark")) {
        let box = part.getBoundingClientRect();
        if (part.matches(".mark")) {
          const middle = [(box.left + box.right) / 2, (box.top + box.bottom) / 2];
          box = { left: middle[0], right: middle[0], top: middle[1], bottom: middle[1] };
        }
        const off = Math.hypot(
          Math.max(box.left - x, 0, x - box.right), Math.max(box.top - y, 0, y - box.bottom));
        if (off < least) { least = off; best = named; }
      }
    }
    return best;
  };
  const setNear = (hole, near) => {
    hole.toggleAttribute("data-near", near);
    byId("near").setAttribute("aria-pressed", String(near));
    unsay(hole);
    roam(hole);
  };

  const say = () => {
    const hole = holes[now];
    const club = hole.querySelector(".case.call:not([hidden]) .club");
    const text = `${hole.querySelector("h2").innerText}: ${club ? club.innerText : ""}`;
    if (told.textContent !== text) { told.textContent = text; }
  };

  const show = (index, spoken) => {
    if (!holes.length) { return; }
    now = Math.min(Math.max(index, 0), holes.length - 1);
    holes.forEach((hole, at) => { hole.hidden = at !== now; });
    setNear(holes[now], false);
    showCase(holes[now], wind);
    which.value = String(now);
    byId("before").disabled = now === 0;
    byId("after").disabled = now === holes.length - 1;
    if (spoken) {
      window.scrollTo(0, 0);
      say();
      // The place is kept in the address, so that a reload comes back to it.
      history.replaceState(null, "", `#hole-${now}`);
    }
  };

  const turnTo = (index) => { wind = index; showCase(holes[now], wind); say(); };
  // On paper every hole stands in the wind that is shown.
  addEventListener("beforeprint", () => holes.forEach((hole) => showCase(hole, wind)));

  const setUnit = (unit) => {
    root.dataset.unit = unit;
    for (const button of document.querySelectorAll("[data-unit-is]")) {
      button.setAttribute("aria-pressed", String(button.dataset.unitIs === unit));
    }
    for (const hole of holes) { unsay(hole); roam(hole); }
  };
  const isDark = () => root.dataset.theme
    ? root.dataset.theme === "dark"
    : matchMedia("(prefers-color-scheme: dark)").matches;
  const markDark = () => byId("dark").setAttribute("aria-pressed", String(isDark()));

  for (const hole of holes) {
    const dial = hole.querySelector(".dial");
    dial.hidden = false;
    dial.querySelector(".north").setAttribute("transform", `rotate(${dial.dataset.north})`);
    const rose = dial.querySelector(".rose");
    const spots = [...rose.querySelectorAll(".spot")];
    for (const spot of spots) {
      const [x, y] = place(spot);
      spot.style.transform = `translate(${x.toFixed(1)}px, ${y.toFixed(1)}px)`;
      spot.querySelector("input").addEventListener("change", (event) => {
        turnTo(Number(event.target.value));
      });
    }
    // Turned with a thumb: the wind nearest to it round the rim, or still air.
    const pick = (event) => {
      const box = rose.getBoundingClientRect();
      const x = event.clientX - box.left - 88;
      const y = event.clientY - box.top - 88;
      const calm = spots.find((spot) => !("turn" in spot.dataset));
      let best = calm;
      if (!(calm && Math.hypot(x - CALM[0], y - CALM[1]) < 30)) {
        const angle = Math.atan2(x, -y) * 180 / Math.PI;
        let least = Infinity;
        for (const spot of spots) {
          if (!("turn" in spot.dataset)) { continue; }
          const off = Math.abs(((angle - Number(spot.dataset.turn)) % 360 + 540) % 360 - 180);
          if (off < least) { least = off; best = spot; }
        }
      }
      if (best) { turnTo(Number(best.querySelector("input").value)); }
    };
    rose.addEventListener("pointerdown", (event) => {
      rose.setPointerCapture(event.pointerId);
      pick(event);
    });
    rose.addEventListener("pointermove", (event) => {
      if (rose.hasPointerCapture(event.pointerId)) { pick(event); }
    });
  }

  // A tap on a picture names what is there; two taps in one place are the other picture.
  const TWICE_MS = 400;
  for (const hole of holes) {
    const pictures = hole.querySelector(".pictures");
    let last = null;
    pictures.addEventListener("click", (event) => {
      const [x, y] = [event.clientX, event.clientY];
      const twice = last && event.timeStamp - last.at < TWICE_MS && Math.hypot(x - last.x, y - last.y) < THUMB;
      if (twice) {
        last = null;
        setNear(hole, !hole.hasAttribute("data-near"));
        return;
      }
      last = { at: event.timeStamp, x, y };
      const found = nearest(hole, x, y);
      if (found) { name(hole, found); } else { unsay(hole); }
    });
    pictures.addEventListener("focusin", (event) => {
      const named = event.target.closest(".named");
      if (named && named.matches(":focus-visible")) { name(hole, named); }
    });
    pictures.addEventListener("focusout", () => unsay(hole));
    pictures.addEventListener("keydown", (event) => {
      const named = event.target.closest(".named");
      if (!named || event.altKey || event.ctrlKey || event.metaKey) { return; }
      const all = names(hole);
      const at = all.indexOf(named);
      const to = {
        ArrowRight: at + 1, ArrowDown: at + 1, ArrowLeft: at - 1, ArrowUp: at - 1,
        Home: 0, End: all.length - 1, Enter: at, " ": at,
      }[event.key];
      if (to === undefined) { return; }
      event.preventDefault();
      event.stopPropagation();
      const next = all[(to + all.length) % all.length];
      for (const one of all) { one.setAttribute("tabindex", one === next ? "0" : "-1"); }
      next.focus();
      name(hole, next);
    });
  }
  byId("near").addEventListener("click", () => {
    if (holes.length) { setNear(holes[now], !holes[now].hasAttribute("data-near")); }
  });

  // A swipe: well across, hardly down, and not on the dial.
  let from = null;
  byId("holes").addEventListener("touchstart", (event) => {
    const one = event.touches.length === 1 && !event.target.closest(".rose");
    from = one ? [event.touches[0].clientX, event.touches[0].clientY] : null;
  }, { passive: true });
  byId("holes").addEventListener("touchend", (event) => {
    if (!from || !event.changedTouches.length) { return; }
    const x = event.changedTouches[0].clientX - from[0];
    const y = event.changedTouches[0].clientY - from[1];
    from = null;
    if (Math.abs(x) > 50 && Math.abs(x) > 1.6 * Math.abs(y)) { show(now + (x < 0 ? 1 : -1), true); }
  }, { passive: true });

  document.addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) { return; }
    if (event.target.closest("input, select")) { return; }
    const to = { ArrowLeft: now - 1, ArrowRight: now + 1, Home: 0, End: holes.length - 1 }[event.key];
    if (to !== undefined) { event.preventDefault(); show(to, true); }
  });
  byId("before").addEventListener("click", () => show(now - 1, true));
  byId("after").addEventListener("click", () => show(now + 1, true));
  which.addEventListener("change", () => show(Number(which.value), true));
  for (const button of document.querySelectorAll("[data-unit-is]")) {
    button.addEventListener("click", () => {
      setUnit(button.dataset.unitIs);
      keep("unit", button.dataset.unitIs);
    });
  }
  byId("dark").addEventListener("click", () => {
    root.dataset.theme = isDark() ? "light" : "dark";
    keep("theme", root.dataset.theme);
    markDark();
  });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", markDark);

  for (const part of [document.querySelector(".choices"), byId("turner")]) { part.hidden = false; }
  root.dataset.turns = "";
  const unit = kept("unit");
  if (unit === "yd" || unit === "m") { setUnit(unit); }
  const theme = kept("theme");
  if (theme === "dark" || theme === "light") { root.dataset.theme = theme; }
  markDark();
  const asked = /^#hole-(\d+)$/.exec(location.hash);
  for (const hole of holes) { showCase(hole, 0); }
  show(asked ? Number(asked[1]) : 0, false);
})();

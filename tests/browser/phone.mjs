// The phone page, by touch, mouse and keyboard.

import assert from "node:assert/strict";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import axe from "axe-core";

// A page, and everything that went wrong or out on it.
async function open(browser, size, file, more = {}) {
  const { name, ...options } = size;
  const context = await browser.newContext({ colorScheme: "light", ...options, ...more });
  // Not checkVisibility: that is true of an SVG group with display: none.
  await context.addInitScript(() => {
    window.seen = (element) => {
      for (let at = element; at; at = at.parentElement) {
        if (getComputedStyle(at).display === "none") { return false; }
      }
      return getComputedStyle(element).visibility !== "hidden";
    };
  });
  const page = await context.newPage();
  const wrong = [];
  const asked = [];
  page.on("console", (message) => {
    if (message.type() === "error" || message.type() === "warning") { wrong.push(message.text()); }
  });
  page.on("pageerror", (error) => wrong.push(String(error)));
  page.on("dialog", (dialog) => { wrong.push(dialog.message()); dialog.dismiss(); });
  page.on("request", (request) => {
    if (!request.url().startsWith("data:")) { asked.push(request.url()); }
  });
  const url = pathToFileURL(file).href;
  await page.goto(url);
  const end = async () => {
    assert.deepEqual(wrong, [], "errors on the console");
    assert.deepEqual(asked, [url], "requests");
    await context.close();
  };
  return { context, page, end };
}

// Every rule of axe-core, best practices included.
async function accessible(page, when) {
  await page.evaluate(axe.source);
  const { violations } = await page.evaluate(() => window.axe.run(document));
  const told = violations.map((v) => `${v.id}: ${v.help}: ${v.nodes.map((n) => n.target).join(", ")}`);
  assert.deepEqual(told, [], `axe-core, ${when}`);
}

// What is seen: the hole, its case, unit and theme.
const state = (page) => page.evaluate(() => {
  const holes = [...document.querySelectorAll(".hole")].filter(seen);
  const cases = [...holes[0].querySelectorAll(".case")].filter(seen);
  return {
    holes: holes.map((hole) => hole.id),
    cases: [...new Set(cases.map((part) => part.dataset.case))],
    checked: holes[0].querySelector(".spot input:checked").value,
    club: holes[0].querySelector(".case.call:not([hidden]) .club").innerText,
    text: holes[0].innerText,
    map: [...holes[0].querySelectorAll(".map text")].filter(seen).map((text) => text.textContent),
    unit: document.documentElement.dataset.unit,
    paper: getComputedStyle(document.body).backgroundColor,
    ink: getComputedStyle(document.body).color,
  };
});

// Relative luminance and contrast by WCAG 2.2.
function contrast(a, b) {
  const light = (colour) => {
    const [r, g, b] = colour.match(/[\d.]+/g).map((v) => v / 255)
      .map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const [dark, bright] = [light(a), light(b)].sort((x, y) => x - y);
  return (bright + 0.05) / (dark + 0.05);
}

// Sizes, contrasts and room, on the hole that is shown.
async function legible(page, size) {
  const found = await page.evaluate(() => {
    const holder = (node) => node.parentElement;
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    const small = [];
    const colours = new Set();
    while (walker.nextNode()) {
      const node = walker.currentNode;
      const element = holder(node);
      if (!node.textContent.trim() || !seen(element) || element.closest("script, style, title, .unseen")) { continue; }
      const style = getComputedStyle(element);
      let pixels = parseFloat(style.fontSize);
      if (element.ownerSVGElement) { pixels *= element.getScreenCTM().a; }
      if (pixels < 16) { small.push(`${pixels.toFixed(1)} px: ${node.textContent.trim().slice(0, 40)}`); }
      if (!element.ownerSVGElement) {
        let ground = element;
        while (ground && getComputedStyle(ground).backgroundColor === "rgba(0, 0, 0, 0)") { ground = ground.parentElement; }
        const back = ground ? getComputedStyle(ground).backgroundColor : "rgb(255, 255, 255)";
        if (!element.closest(":disabled")) { colours.add(`${style.color}|${back}`); }
      } else {
        colours.add(`${style.fill}|${getComputedStyle(document.body).backgroundColor}`);
      }
    }
    const targets = [...document.querySelectorAll("button, select, .spot")].filter(seen)
      .map((element) => [element.id || element.innerText, element.getBoundingClientRect()])
      .filter(([, box]) => box.width < 43.99 || box.height < 43.99)
      .map(([name, box]) => `${name}: ${box.width} × ${box.height}`);
    // Nothing of the dial on anything else of it.
    const spots = [...document.querySelectorAll(".spot")].filter(seen).map((s) => s.querySelector("span").getBoundingClientRect());
    let over = 0;
    spots.forEach((a, i) => spots.slice(i + 1).forEach((b) => {
      if (a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom) { over += 1; }
    }));
    return {
      small, targets, over, colours: [...colours],
      wide: document.documentElement.scrollWidth - innerWidth,
      map: [...document.querySelectorAll(".map, .plate")].filter(seen)[0].getBoundingClientRect().width,
    };
  });
  assert.deepEqual(found.small, [], "text below 16 px");
  assert.deepEqual(found.targets, [], "controls below 44 × 44 px");
  assert.equal(found.over, 0, "winds on one another");
  assert.ok(found.wide <= 0, `${found.wide} px too wide`);
  // 107.9 mm at 96 px an inch: no green larger than 1:480.
  assert.ok(found.map <= 107.9 / 25.4 * 96 + 0.5, `the map is ${found.map} px wide`);
  if (size.name === "phone") { assert.ok(found.map > 350, `the map is ${found.map} px wide`); }
  for (const pair of found.colours) {
    const [ink, paper] = pair.split("|");
    assert.ok(contrast(ink, paper) >= 7, `contrast ${contrast(ink, paper).toFixed(2)}: ${ink} on ${paper}`);
  }
}

// Where Tab leads, in order, until it comes round.
async function stops(page) {
  await page.evaluate(() => { document.activeElement.blur(); window.scrollTo(0, 0); });
  const out = [];
  for (let k = 0; k < 40; k += 1) {
    await page.keyboard.press("Tab");
    const name = await page.evaluate(() => {
      const at = document.activeElement;
      return at === document.body ? "" : at.id || at.dataset.unitIs || at.name || at.getAttribute("class");
    });
    if (!name || name === out[0]) { break; }
    const ring = await page.evaluate(() => {
      const at = document.activeElement;
      if (at.matches(".named")) { return parseFloat(getComputedStyle(at.querySelector(".mark")).strokeWidth); }
      const shown = at.matches(".spot input") ? at.nextElementSibling : at;
      return parseFloat(getComputedStyle(shown).outlineWidth);
    });
    assert.ok(ring >= 2, `focus is not seen on ${name}`);
    out.push(name);
  }
  return out;
}

async function tabTo(page, wanted) {
  for (let k = 0; k < 40; k += 1) {
    await page.keyboard.press("Tab");
    const there = await page.evaluate((selector) => document.activeElement.matches(selector), wanted);
    if (there) { return; }
  }
  assert.fail(`Tab never comes to ${wanted}`);
}

async function swipe(page, from, to) {
  const client = await page.context().newCDPSession(page);
  const touch = (type, at) => client.send("Input.dispatchTouchEvent", {
    type, touchPoints: at ? [{ x: at[0], y: at[1] }] : [],
  });
  await touch("touchStart", from);
  for (let k = 1; k <= 6; k += 1) {
    await touch("touchMove", [from[0] + (to[0] - from[0]) * k / 6, from[1] + (to[1] - from[1]) * k / 6]);
  }
  await touch("touchEnd", null);
  await client.detach();
  await page.waitForTimeout(60);
}

// What has to be on the first screen, whole, beside each other and beside the bar: the
// picture with peg and flag, the club, the line, the wind and its dial. Of the hole that is shown.
const firstScreen = (page) => page.evaluate(() => {
  scrollTo(0, 0);
  const hole = [...document.querySelectorAll(".hole")].find(seen);
  const picture = [...hole.querySelectorAll(".map, .plate")].find(seen);
  const wrong = [];
  const box = (element) => element.getBoundingClientRect();
  const parts = { picture, bar: document.getElementById("turner"), title: hole.querySelector(".title") };
  for (const part of [".club", ".aim", ".wind", ".dial"]) { parts[part] = [...hole.querySelectorAll(part)].find(seen); }
  for (const [name, part] of Object.entries(parts)) {
    const { left, top, right, bottom } = box(part);
    if (left < -0.5 || top < -0.5 || right > innerWidth + 0.5 || bottom > innerHeight + 0.5) {
      wrong.push(`${name} ends at ${left}, ${top}, ${right}, ${bottom}`);
    }
    if (part.scrollWidth > part.clientWidth + 1 && part !== picture) { wrong.push(`${name} is cut`); }
  }
  const all = Object.entries(parts);
  all.forEach(([name, part], i) => all.slice(i + 1).forEach(([other, its]) => {
    const [a, b] = [box(part), box(its)];
    if (a.left < b.right - 0.5 && b.left < a.right - 0.5 && a.top < b.bottom - 0.5 && b.top < a.bottom - 0.5) {
      wrong.push(`${name} lies on ${other}`);
    }
  }));
  if (picture.matches(".map")) {
    for (const end of ["peg", "pin"]) {
      const at = box([...picture.querySelectorAll(`[data-at=${end}]`)].find(seen));
      const map = box(picture);
      if (at.left < map.left || at.right > map.right || at.top < map.top || at.bottom > map.bottom) {
        wrong.push(`the ${end} is not on the map`);
      }
    }
  }
  return wrong;
});

// The dial moves neither picture, on any hole, and all that is needed stays on the first screen.
async function keepsThePlace(page, size, turns, rim) {
  const places = () => page.evaluate(() => {
    const hole = [...document.querySelectorAll(".hole")].find(seen);
    return [".map", ".plate", ".dial", ".club", ".sentence"].map((part) => {
      const all = [...hole.querySelectorAll(part)];
      const box = (all.find(seen) ?? all[0]).getBoundingClientRect();
      return [box.left, box.top + scrollY, box.width, part === ".map" || part === ".plate" ? box.height : 0]
        .map((length) => length.toFixed(2)).join(" ");
    }).concat(scrollY).join();
  });
  const press = size.hasTouch ? (at) => page.touchscreen.tap(...at) : (at) => page.mouse.click(...at);
  const holes = await page.locator("#which option").count();
  let tried = 0;
  for (let hole = 0; hole < holes; hole += 1) {
    await page.selectOption("#which", String(hole));
    const before = await places();
    const count = await page.locator(`#hole-${hole} .spot`).count();
    for (const near of [false, true]) {
      if (near) { await page.click("#near"); }
      for (let k = 0; k < count; k += 1) {
        await page.evaluate(([at, wind]) => {
          document.querySelectorAll(`#hole-${at} .spot input`)[wind].click();
        }, [hole, k]);
        assert.equal(await places(), before, `hole ${hole}: the picture moves in wind ${k}`);
        assert.deepEqual(await firstScreen(page), [], `${size.name}, hole ${hole}, wind ${k}${near ? ", landing" : ""}`);
        tried += 1;
      }
    }
  }
  await page.selectOption("#which", "0");
  const before = await places();
  for (const turn of turns) {
    await press(rim(turn));
    assert.equal(await places(), before, `the map moves at ${turn}`);
  }
  await page.locator("#hole-0 .spot input").first().press("Space");
  return tried;
}

// A tap, or the keyboard, names what is on a picture, always in the same place: on every hole of the
// phone, on the first of the other sizes.
async function names(page, size) {
  const press = size.hasTouch ? (x, y) => page.touchscreen.tap(x, y) : (x, y) => page.mouse.click(x, y);
  const holes = size.name === "phone" ? await page.locator("#which option").count() : 1;
  const boxes = new Set();
  let count = 0;
  const said = () => page.evaluate(() => {
    const hole = [...document.querySelectorAll(".hole")].find(seen);
    const caption = hole.querySelector(".caption");
    const box = caption.getBoundingClientRect();
    const picture = [...hole.querySelectorAll(".map, .plate")].find(seen).getBoundingClientRect();
    return {
      words: seen(caption) ? caption.textContent : "",
      box: [hole.id, box.left, box.top, box.width, box.height].join(),
      cut: caption.scrollHeight > caption.clientHeight + 1 || caption.scrollWidth > caption.clientWidth + 1,
      picture: [picture.left, picture.top, picture.width, picture.height].join(),
      marked: hole.querySelectorAll(".named[data-said]").length,
    };
  });
  for (let hole = 0; hole < holes; hole += 1) {
    await page.selectOption("#which", String(hole));
    for (const near of [false, true]) {
      if (near) { await page.click("#near"); }
      const still = await said();
      assert.equal(still.words, "");
      const texts = await page.evaluate(() => {
        scrollTo(0, 0);
        const shown = [...document.querySelectorAll(".map, .plate")].find(seen);
        return [...shown.querySelectorAll(".named")].filter(seen).map((named) => {
          const text = named.querySelector("text");
          const box = text && text.getBoundingClientRect();
          return [named.querySelector("title").textContent, box && [(box.left + box.right) / 2, (box.top + box.bottom) / 2]];
        });
      });
      assert.ok(texts.filter(([, at]) => at).length >= 4, `hole ${hole}: ${texts.length} names`);
      for (const [title, at] of texts) {
        assert.ok(title.length > 6, title);
        if (!at) { continue; }
        await press(...at);
        const now = await said();
        assert.equal(now.words, title, `hole ${hole}, at ${at}`);
        assert.equal(now.marked, 1);
        assert.ok(!now.cut, `"${title}" is cut`);
        assert.equal(now.picture, still.picture, "a name moves the picture");
        boxes.add(now.box);
        count += 1;
        // Not a double tap.
        await page.waitForTimeout(420);
      }
    }
  }
  assert.equal(boxes.size, holes, "the caption moves");
  // From the keyboard: Tab comes to one, arrows to the others, and no arrow turns the page.
  await page.selectOption("#which", "0");
  await page.evaluate(() => document.activeElement.blur());
  await tabTo(page, "#hole-0 .named");
  const told = new Set();
  const all = await page.evaluate(() => [...document.querySelectorAll("#hole-0 .map .named")].filter(seen).length);
  for (let k = 0; k < all; k += 1) {
    told.add((await said()).words);
    await page.keyboard.press(k % 2 ? "ArrowDown" : "ArrowRight");
  }
  assert.ok(told.size >= all - 2 && !told.has(""), `${told.size} of ${all} names by the arrow keys`);
  assert.deepEqual((await state(page)).holes, ["hole-0"], "an arrow on the map turned the page");
  await page.evaluate(() => document.activeElement.blur());
  assert.equal((await said()).words, "");
  return count;
}

// Two taps show the landing, two more the whole hole; so does the button. The dial moves the
// balls of the same swing, and leaves the land where it is.
async function landing(page, size) {
  const twice = async () => {
    const box = await page.locator("#hole-0 .pictures").boundingBox();
    const at = [box.x + 24, box.y + box.height / 2];
    for (let k = 0; k < 2; k += 1) {
      if (size.hasTouch) { await page.touchscreen.tap(...at); } else { await page.mouse.click(...at); }
    }
  };
  const shown = () => page.evaluate(() => {
    const hole = [...document.querySelectorAll(".hole")].find(seen);
    const pictures = [...hole.querySelectorAll(".map, .plate")].filter(seen);
    const picture = pictures[0];
    const box = picture.getBoundingClientRect();
    const part = (selector) => [...picture.querySelectorAll(selector)].filter(seen);
    return {
      pictures: pictures.map((one) => one.getAttribute("class")),
      scale: Number(picture.dataset.scale),
      pressed: document.getElementById("near").getAttribute("aria-pressed"),
      balls: part(".balls use").map((ball) => {
        const { left, top } = ball.getBoundingClientRect();
        return [left, top];
      }),
      within: part(".balls use").filter((ball) => {
        const { left, top, right, bottom } = ball.getBoundingClientRect();
        return left >= box.left && right <= box.right && top >= box.top && bottom <= box.bottom;
      }).length,
      words: part("text").map((text) => text.textContent),
      names: part(".named title").map((title) => title.textContent),
      same: picture.querySelector(".balls")?.dataset.same,
      ground: picture.querySelector("g").getBoundingClientRect().toJSON(),
    };
  });
  await page.emulateMedia({ reducedMotion: "reduce" });
  const whole = await shown();
  assert.deepEqual([whole.pictures, whole.pressed], [["map"], "false"]);
  await twice();
  const large = await shown();
  assert.deepEqual([large.pictures, large.pressed], [["plate"], "true"], "two taps");
  await twice();
  assert.deepEqual((await shown()).pictures, ["map"], "two taps again");
  await tabTo(page, "#near");
  await page.keyboard.press("Enter");
  assert.deepEqual((await shown()).pictures, ["plate"], "the button by Enter");
  await page.keyboard.press("Space");
  assert.deepEqual((await shown()).pictures, ["map"], "the button by Space");
  const holes = await page.locator("#which option").count();
  let moved = 0;
  for (let hole = 0; hole < holes; hole += 1) {
    await page.selectOption("#which", String(hole));
    const far = await shown();
    assert.deepEqual(far.pictures, ["map"], "a new hole is shown whole");
    await page.click("#near");
    const first = await shown();
    const wide = page.viewportSize().width;
    assert.ok(first.scale < far.scale, `hole ${hole}: the landing is not larger`);
    // 480 units of the drawing are at most 107.9 mm wide: no green beyond 1:480.
    assert.ok(first.scale / (1079 / 480) >= 480 - 0.5, `hole ${hole}: 1:${first.scale / (1079 / 480)}`);
    assert.equal(first.balls.length, 100, `hole ${hole} at ${wide}`);
    assert.ok(first.within >= 84, `hole ${hole}: ${first.within} balls within`);
    assert.ok(first.names.some((name) => name.startsWith("Half")) || !first.words.includes("half"));
    assert.ok(first.names.some((name) => name.startsWith("The usual ball")), `${first.names}`);
    const count = await page.locator(`#hole-${hole} .spot`).count();
    for (let k = 1; k < count; k += 1) {
      await page.evaluate(([at, wind]) => {
        document.querySelectorAll(`#hole-${at} .spot input`)[wind].click();
      }, [hole, k]);
      const other = await shown();
      assert.deepEqual(other.ground, first.ground, `hole ${hole}: the land moves in wind ${k}`);
      assert.equal(other.balls.length, 100);
      assert.ok(other.within >= 70, `hole ${hole}, wind ${k}: ${other.within} balls within`);
      const off = other.balls.filter(([x, y], at) => Math.hypot(x - first.balls[at][0], y - first.balls[at][1]) > 0.5);
      assert.ok(off.length > 50, `hole ${hole}, wind ${k}: ${off.length} balls move`);
      moved += 1;
    }
    await page.evaluate((at) => { document.querySelectorAll(`#hole-${at} .spot input`)[0].click(); }, hole);
    assert.deepEqual((await shown()).balls, first.balls, `hole ${hole}: back in the day's wind`);
    await page.click("#near");
  }
  await page.selectOption("#which", "0");
  await page.emulateMedia({ reducedMotion: null });
  return moved;
}

// The system's own colours: the shot and the land can be told from the ground, what is chosen from
// what is not, and every control has an edge.
async function forced(page) {
  for (const colorScheme of ["light", "dark"]) {
    await page.emulateMedia({ forcedColors: "active", colorScheme });
    const found = await page.evaluate(() => {
      const style = (element) => getComputedStyle(element);
      const shown = [...document.querySelectorAll(".hole")].find(seen);
      const lines = [".s-ink", ".s-accent", ".f-ink", "text", ".s-fairway-edge", ".s-sand-edge"]
        .map((selector) => [selector, [...shown.querySelectorAll(`.map ${selector}`)].find(seen)])
        .filter(([, element]) => element)
        .map(([selector, element]) => [selector, selector === "text" || selector.startsWith(".f-")
          ? style(element).fill : style(element).stroke]);
      const [chosen, other] = [":checked", ":not(:checked)"].map((which) => {
        const { backgroundColor, color, borderTopColor, borderTopWidth } = style(shown.querySelector(`.spot input${which} + span`));
        return { backgroundColor, color, borderTopColor, borderTopWidth };
      });
      const controls = [...document.querySelectorAll("button, select")].filter(seen)
        .filter((control) => !control.disabled).map((control) => [control.id, style(control).borderTopColor]);
      return { paper: style(document.body).backgroundColor, lines, chosen, other, controls };
    });
    assert.ok(found.lines.length >= 5, `${found.lines}`);
    for (const [name, colour] of found.lines) {
      assert.ok(contrast(colour, found.paper) >= 3, `${colorScheme}, ${name}: ${colour} on ${found.paper}`);
    }
    assert.notEqual(found.chosen.backgroundColor, found.other.backgroundColor, "the wind that is chosen");
    for (const spot of [found.chosen, found.other]) {
      assert.ok(contrast(spot.color, spot.backgroundColor) >= 4.5, JSON.stringify(spot));
      assert.ok(contrast(spot.borderTopColor, found.paper) >= 3, JSON.stringify(spot));
    }
    for (const [name, colour] of found.controls) {
      assert.ok(contrast(colour, found.paper) >= 3, `${name}: ${colour} on ${found.paper}`);
    }
    await accessible(page, `forced colours, ${colorScheme}`);
  }
  await page.emulateMedia({ forcedColors: null, colorScheme: "light" });
}

// Wherever the page is scrolled to, a tap on the bar at the foot meets the bar.
async function nothingOnTheBar(page, size) {
  const bar = await page.evaluate(() => {
    const out = [];
    const far = document.documentElement.scrollHeight - innerHeight;
    for (let k = 0; k <= 60; k += 1) {
      scrollTo(0, far * k / 60);
      for (const id of ["before", "which", "after", "near"]) {
        const box = document.getElementById(id).getBoundingClientRect();
        for (const part of [0.1, 0.5, 0.9]) {
          const on = document.elementFromPoint(box.left + part * box.width, box.top + part * box.height);
          if (!on.closest("#turner")) { out.push(`${id} at ${k}: ${on.outerHTML.slice(0, 60)}`); }
        }
      }
    }
    // At the very end nothing that is written is behind the bar.
    const bar = document.getElementById("turner").getBoundingClientRect();
    const last = document.querySelector(".keys").getBoundingClientRect();
    if (last.bottom > bar.top && last.right > bar.left) {
      out.push(`the last line ends ${last.bottom - bar.top} px below the bar's edge`);
    }
    return out;
  });
  assert.deepEqual(bar, [], `${size.name}: what lies on the bar`);
  if (size.hasTouch) {
    const box = await page.locator("#after").boundingBox();
    await page.touchscreen.tap(box.x + box.width / 2, box.y + box.height / 2);
    assert.deepEqual((await state(page)).holes, ["hole-1"], "a tap at the end of the page");
    await page.selectOption("#which", "0");
  }
  await page.evaluate(() => scrollTo(0, 0));
}

// On paper: every hole, in one wind, in ink on white, and nothing to press.
async function printed(page, holes, winds) {
  const look = () => page.evaluate(() => {
    const hole = [...document.querySelectorAll(".hole")].filter(seen);
    const cases = (part) => [...part.querySelectorAll(".case.call")].filter((c) => seen(c.querySelector(".club")));
    return {
      holes: hole.length,
      maps: hole.filter((part) => [".map", ".plate"].every((one) => seen(part.querySelector(one)))).length,
      cases: [...new Set(hole.map((part) => cases(part).map((c) => c.dataset.case).join()))],
      controls: [...document.querySelectorAll("button, select, input, .dial, .keys")].filter(seen).length,
      paper: getComputedStyle(document.body).backgroundColor,
    };
  });
  await page.evaluate(() => document.querySelectorAll("#hole-0 .spot input")[2].click());
  const theme = await page.evaluate(() => document.documentElement.dataset.theme ?? "");
  for (const dark of [false, true]) {
    await page.evaluate((on) => { document.documentElement.dataset.theme = on ? "dark" : "light"; }, dark);
    await page.emulateMedia({ media: "print" });
    await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
    const paper = await look();
    assert.deepEqual(paper, {
      holes, maps: holes, cases: [String(2 % winds)], controls: 0, paper: "rgb(255, 255, 255)",
    }, dark ? "printed from the dark" : "printed");
    if (!dark) {
      // Each hole on one sheet, and one for what to take care of.
      const pdf = (await page.pdf({ format: "A4", preferCSSPageSize: false })).toString("latin1");
      const sheets = pdf.match(/\/Type\s*\/Page\b/g).length;
      assert.equal(sheets, holes + 1, `${holes} holes on ${sheets} sheets`);
    }
    await page.emulateMedia({ media: "screen" });
  }
  await page.evaluate((was) => {
    if (was) { document.documentElement.dataset.theme = was; } else { delete document.documentElement.dataset.theme; }
    document.querySelectorAll("#hole-0 .spot input")[0].click();
  }, theme);
  assert.deepEqual((await state(page)).holes, ["hole-0"], "one hole again on the screen");
}

export async function openPhone(browser, size, file, pictures) {
  const { page, end } = await open(browser, size, file);
  const holes = await page.locator(".hole").count();
  const winds = await page.locator("#hole-0 .spot").count();
  assert.ok(holes >= 3 && winds === 5, `${holes} holes, ${winds} winds`);
  const first = await state(page);
  assert.deepEqual(first.holes, ["hole-0"]);
  assert.deepEqual(first.cases, ["0"]);
  assert.equal(first.unit, "yd");
  await legible(page, size);
  await accessible(page, "as opened");
  await page.screenshot({ path: join(pictures, `${size.name}-light.png`) });

  // Everything is reached by Tab; a group of winds is one stop, as radio buttons are.
  assert.deepEqual(await stops(page), ["named", "wind-0", "yd", "m", "dark", "which", "after", "near"]);

  // Holes by keys.
  await page.evaluate(() => document.activeElement.blur());
  const at = async () => (await state(page)).holes.join();
  for (const [key, hole] of [
    ["ArrowRight", 1], ["ArrowRight", 2], ["ArrowLeft", 1], ["End", holes - 1], ["ArrowRight", holes - 1],
    ["Home", 0], ["ArrowLeft", 0],
  ]) {
    await page.keyboard.press(key);
    assert.equal(await at(), `hole-${hole}`, key);
  }
  // Holes by the buttons and the list, from the keyboard.
  await tabTo(page, "#after");
  await page.keyboard.press("Enter");
  assert.equal(await at(), "hole-1");
  await tabTo(page, "#before");
  await page.keyboard.press("Space");
  assert.equal(await at(), "hole-0");
  await tabTo(page, "#which");
  await page.keyboard.press("ArrowDown");
  assert.equal(await at(), "hole-1");
  assert.match(await page.locator("#told").textContent(), /\S: \S/);
  // A reload comes back to the hole.
  assert.ok(page.url().endsWith("#hole-1"));

  // The dial from the keyboard: every wind, and round again.
  await page.evaluate(() => document.activeElement.blur());
  await page.keyboard.press("Home");
  await tabTo(page, "#hole-0 .spot input");
  const said = new Set([first.text]);
  for (let k = 1; k <= winds; k += 1) {
    await page.keyboard.press("ArrowDown");
    const now = await state(page);
    assert.deepEqual(now.cases, [String(k % winds)]);
    assert.equal(now.checked, String(k % winds));
    assert.deepEqual(now.holes, ["hole-0"], "an arrow in the dial turned the page");
    said.add(now.text);
    if (k === 2) {
      await legible(page, size);
      await accessible(page, "in another wind");
    }
  }
  assert.equal(said.size, winds, "two winds say the same");
  // The wind stays when the hole changes.
  await page.keyboard.press("ArrowDown");
  await page.evaluate(() => document.activeElement.blur());
  await page.keyboard.press("ArrowRight");
  assert.deepEqual((await state(page)).cases, ["1"]);
  await page.keyboard.press("Home");

  // The dial turned: a press at each wind's place, then a drag round the rim.
  const rose = await page.locator("#hole-0 .rose").boundingBox();
  const middle = [rose.x + 88, rose.y + 88];
  const turns = await page.$$eval("#hole-0 .spot", (spots) => spots.map((s) => s.dataset.turn));
  assert.equal(turns.filter((turn) => turn === undefined).length, 1);
  const rim = (turn, far = 60) => turn === undefined ? [middle[0] - 62, middle[1] + 92] : [
    middle[0] + far * Math.sin(turn * Math.PI / 180), middle[1] - far * Math.cos(turn * Math.PI / 180),
  ];
  for (const [k, turn] of turns.entries()) {
    if (size.hasTouch) { await page.touchscreen.tap(...rim(turn)); } else { await page.mouse.click(...rim(turn)); }
    const now = await state(page);
    assert.deepEqual([now.checked, now.cases.join()], [String(k), String(k)], `dial at ${turn}`);
    const arrow = await page.locator("#hole-0 .arrow").getAttribute("transform");
    if (turn !== undefined) { assert.equal(arrow, `rotate(${turn})`); }
  }
  const round = [];
  const note = async () => { round.push((await state(page)).checked); };
  if (size.hasTouch) {
    await swipe(page, rim(Number(turns[0])), rim(Number(turns[2])));
    assert.equal((await state(page)).checked, "2");
    assert.equal(await at(), "hole-0", "the dial turned the page");
  } else {
    await page.mouse.move(...rim(Number(turns[0])));
    await page.mouse.down();
    for (let k = 0; k <= 36; k += 1) {
      await page.mouse.move(...rim(Number(turns[0]) + k * 10));
      await note();
    }
    await page.mouse.up();
    const blowing = turns.filter((turn) => turn !== undefined).length;
    assert.equal(new Set(round).size, blowing, `round the dial: ${round}`);
  }

  const tried = await keepsThePlace(page, size, turns, rim);
  const told = await names(page, size);
  const moved = await landing(page, size);

  // Holes by swipe; a swipe down is a scroll.
  if (size.hasTouch) {
    await page.evaluate(() => window.scrollTo(0, 0));
    const { x, y, width, height } = await page.locator("#hole-0 .pictures").boundingBox();
    const [left, right, middle] = [x + 0.15 * width, x + 0.85 * width, y + height / 2];
    await swipe(page, [right, middle], [left, middle + 10]);
    assert.equal(await at(), "hole-1", "swipe to the left");
    await swipe(page, [left, middle], [right, middle + 10]);
    assert.equal(await at(), "hole-0", "swipe to the right");
    await swipe(page, [right, y + 0.9 * height], [right - 10, y + 0.2 * height]);
    assert.equal(await at(), "hole-0", "swipe up");
    await page.evaluate(() => window.scrollTo(0, 0));
  }

  // Yards and metres, by keyboard: what the map and the words say is the same length.
  await page.locator("#hole-0 .spot input").first().press("Space");
  const yards = await state(page);
  await tabTo(page, "[data-unit-is=m]");
  await page.keyboard.press("Space");
  const metres = await state(page);
  assert.equal(metres.unit, "m");
  const carry = (text) => Number(/carry\s+(\d+)/.exec(text)[1]);
  assert.ok(Math.abs(carry(yards.text) * 0.9144 - carry(metres.text)) <= 1);
  const aim = (labels) => Number(labels.find((label) => label.startsWith("AIM")).slice(4));
  assert.ok(Math.abs(aim(yards.map) * 0.9144 - aim(metres.map)) <= 1);
  assert.ok(/\d\s?yd\b/.test(yards.text) && !/\d\s?yd\b/.test(metres.text), "yards are left over");
  assert.ok(!/\d\s?mph\b/.test(metres.text), "mph are left over");
  await legible(page, size);
  await tabTo(page, "[data-unit-is=yd]");
  await page.keyboard.press("Enter");
  assert.equal((await state(page)).unit, "yd");

  await nothingOnTheBar(page, size);
  await printed(page, holes, winds);

  // Light and dark, by keyboard, and as the phone has it.
  await tabTo(page, "#dark");
  await page.keyboard.press("Enter");
  const dark = await state(page);
  assert.notEqual(dark.paper, first.paper);
  assert.ok(contrast(dark.paper, "rgb(0, 0, 0)") < 1.5, dark.paper);
  assert.equal(await page.locator("#dark").getAttribute("aria-pressed"), "true");
  await legible(page, size);
  await accessible(page, "dark");
  await page.screenshot({ path: join(pictures, `${size.name}-dark.png`) });
  await page.keyboard.press("Enter");
  assert.equal((await state(page)).paper, first.paper);

  // Every hole is legible, whole and large, in the light and in the dark.
  for (const scheme of ["light", "dark"]) {
    await page.evaluate((name) => { document.documentElement.dataset.theme = name; }, scheme);
    for (let hole = 0; hole < holes; hole += 1) {
      await page.selectOption("#which", String(hole));
      await legible(page, size);
      await accessible(page, `${scheme}, hole ${hole}`);
      await page.screenshot({ path: join(pictures, `${size.name}-${scheme}-${hole}.png`) });
      await page.click("#near");
      await legible(page, size);
      await accessible(page, `${scheme}, landing of hole ${hole}`);
      await page.screenshot({ path: join(pictures, `${size.name}-${scheme}-${hole}-landing.png`) });
    }
  }
  await page.evaluate(() => { delete document.documentElement.dataset.theme; });
  await page.selectOption("#which", "0");
  await forced(page);
  await end();
  const again = await open(browser, size, file, { colorScheme: "dark" });
  assert.equal((await state(again.page)).paper, dark.paper, "a dark phone");
  assert.equal(await again.page.locator("#dark").getAttribute("aria-pressed"), "true");
  await again.end();
  return `${holes} holes, ${winds} winds; ${tried} pictures that keep their place, ${told} names, ${moved} turns of the landing`;
}

export async function openAny(browser, size, file) {
  const { page, end } = await open(browser, size, file);
  assert.equal(await page.evaluate(() => window.caught), undefined, "a name was run");
  await accessible(page, "as opened");
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  assert.ok(wide <= 0, `${wide} px too wide`);
  await end();
}

// Without a script: every hole one below the other, in the day's wind.
export async function openWithoutScript(browser, size, file, pictures) {
  const { page, end } = await open(browser, size, file, { javaScriptEnabled: false });
  const count = async (selector) => {
    const all = await page.locator(selector).all();
    const seen = await Promise.all(all.map((one) => one.isVisible()));
    return seen.filter(Boolean).length;
  };
  const holes = await page.locator(".hole").count();
  assert.equal(await count(".hole"), holes);
  assert.equal(await count(".case.call .club"), holes);
  assert.equal(await count(".dial"), 0);
  assert.equal(await count("button, select, #turner"), 0);
  assert.equal(await count(".map"), holes);
  assert.equal(await count(".plate"), holes);
  assert.equal(await count(".card"), holes);
  // Every number has its name, which a pointer that rests on it shows; and nothing lies on anything.
  const all = await page.locator(".named").count();
  assert.ok(all > 0 && await page.locator(".named > title").count() === all);
  const boxes = [];
  for (const part of await page.locator(".title, .map, .plate, .call, .card, .sentence, .more, footer").all()) {
    if (await part.isVisible()) { boxes.push(await part.boundingBox()); }
  }
  boxes.forEach((a, i) => boxes.slice(i + 1).forEach((b) => {
    const over = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x) > 1
      && Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y) > 1;
    assert.ok(!over, `${JSON.stringify(a)} lies on ${JSON.stringify(b)}`);
  }));
  await page.screenshot({ path: join(pictures, `${size.name}-no-script.png`), fullPage: true });
  await end();
}

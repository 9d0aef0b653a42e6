"use strict";
(() => {
  const data = JSON.parse(document.getElementById("data").textContent);
  const by = (id) => document.getElementById(id);
  const NS = "http://www.w3.org/2000/svg";
  const moment = by("moment"), play = by("play"), pace = by("pace");
  const choosers = [by("wheel-size"), by("stick-length"), by("progress")];
  let timer = null, current = data.plays[0];

  const make = (name, attributes, parent) => {
    const element = document.createElementNS(NS, name);
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    if (parent) parent.append(element);
    return element;
  };

  /* The play that was read for what is chosen; every choice offered has one. */
  const chosen = () => {
    const want = choosers.map((one) => Number(one.value));
    return data.plays.find((one) => one.choice.every((value, index) => value === want[index]));
  };

  const scaleBar = (svg, left, bottom, width) => {
    const lengths = [1, 2, 5, 10, 20, 50, 100, 200];
    const length = lengths.filter((one) => one <= width / 4).pop() || 1;
    const bar = make("g", { class: "scale-bar" }, svg);
    make("line", { x1: left, x2: left + length, y1: bottom, y2: bottom, stroke: "#111" }, bar);
    for (const x of [left, left + length]) make("line", { x1: x, x2: x, y1: bottom - width / 120, y2: bottom + width / 120, stroke: "#111" }, bar);
    make("text", { x: left + length + width / 100, y: bottom + width / 120, "font-size": width / 45 }, bar).textContent = `${length} ${data.labels.scale}`;
  };

  /* Where the picture's edges lie: far enough for every place of the stick in this play. */
  const reach = (told) => {
    const seats = told.moments.map((one) => one.seat).filter((one) => one !== null);
    return seats.length ? Math.max(...seats) : told.scene.stick[2] * 1.5;
  };

  /* The way of the last move along the plunge: dashed when rapid. */
  const way = (line, told, index, at) => {
    const now = told.moments[index], before = index ? told.moments[index - 1] : now;
    const moved = now.seat !== null && before.seat !== null && now.seat !== before.seat;
    line.style.display = moved ? "" : "none";
    if (!moved) return;
    line.setAttribute("x1", at - before.seat);
    line.setAttribute("x2", at - now.seat);
    line.setAttribute("class", now.rapid ? "way rapid" : "way");
  };

  const label = (svg, x, y, size, text) => {
    const element = make("text", { x, y, "font-size": size, "text-anchor": "middle" }, svg);
    element.textContent = text;
    return element;
  };

  let pictures = [];
  const draw = (told) => {
    for (const id of ["picture", "second"]) { by(id).replaceChildren(); by(id).style.display = "none"; by(`${id}-says`).textContent = ""; }
    pictures = [];
    if (!told.scene) { by("picture-says").textContent = data.labels["no-drawing"]; return; }
    const slots = [["picture", "stick", "wheel"], ["second", "stick-section", "wheel-section"]];
    if (told.scene.round !== null) pictures.push(side(told, ...slots.shift()));
    pictures.push(section(told, ...slots.shift()));
  };

  const open = (id, says, left, right, top, bottom) => {
    const svg = by(id), width = right - left;
    svg.style.display = "block";
    svg.setAttribute("viewBox", `${left} ${top} ${width} ${bottom - top + width / 14}`);
    by(`${id}-says`).textContent = says;
    scaleBar(svg, left + width / 50, bottom + width / 25, width);
    return svg;
  };

  const side = (told, id, stickId, wheelId) => {
    const { stick, jaw, round } = told.scene, [, height, length] = stick, far = reach(told) + 12;
    const half = Math.max(round / 2, height) + 8;
    const svg = open(id, data.labels.side, -far, round / 2 + 8, -half, half);
    const body = make("g", { id: stickId }, svg);
    make("rect", { class: "stick", x: 0, y: -height / 2, width: length, height }, body);
    const clip = make("clipPath", { id: `${stickId}-clip` }, make("defs", {}, svg));
    make("rect", { x: 0, y: -height / 2, width: length + 1, height }, clip);
    const groove = make("circle", { class: "cut", cy: 0, r: round / 2, "clip-path": `url(#${stickId}-clip)` }, body);
    make("rect", { class: "jaw", x: 0, y: -height / 2 - 4, width: Math.max(jaw, 0.1), height: height + 8, "fill-opacity": 0.5 }, body);
    make("line", { class: "seat", x1: 0, x2: 0, y1: -height, y2: height }, body);
    const wheel = make("g", { id: wheelId }, svg);
    make("circle", { class: "wheel", r: round / 2, cx: 0, cy: 0 }, wheel);
    const mark = make("line", { class: "axis", x1: 0, x2: 0, y1: 0, y2: -round / 2 }, wheel);
    const flow = make("line", { class: "flow", x1: -round / 2 - 6, x2: -round / 2 + 2, y1: -half + 2, y2: -height / 2 }, svg);
    const gone = make("line", { class: "way", y1: height / 2 + 5, y2: height / 2 + 5 }, svg), size = (far + round / 2) / 45;
    label(svg, 0, round / 4, size, data.labels.wheel);
    label(body, length / 2, size / 3, size, data.labels.stick);
    label(body, 0, -height - size / 2, size, data.labels.seat);
    return (now, index) => {
      way(gone, told, index, length);
      body.style.display = now.seat === null ? "none" : "";
      if (now.seat !== null) body.setAttribute("transform", `translate(${-now.seat} 0)`);
      const seats = told.moments.slice(0, index + 1).filter((one) => one.seat !== null && one.depth > 0).map((one) => one.seat);
      groove.setAttribute("cx", seats.length ? Math.min(...seats) : length + round);
      groove.style.display = seats.length ? "" : "none";
      mark.setAttribute("transform", `rotate(${now.turning === "off" ? 0 : now.turning === "cw" ? 37 * index : -37 * index})`);
      flow.style.display = now.flowing ? "" : "none";
    };
  };

  const section = (told, id, stickId, wheelId) => {
    const { stick, jaw, holder, wheels, angle, tilt, leads } = told.scene, [width, , length] = stick;
    const corners = wheels.flat(), xs = corners.map((one) => one[0]), ys = corners.map((one) => one[1]);
    const acrosses = told.moments.map((one) => one.across).filter((one) => one !== null);
    const wide = Math.max(width, holder ? holder[0] : 0) / 2 + 4, far = reach(told) + 12;
    const lean = Math.sin((angle * Math.PI) / 180) * far;
    const top = Math.min(...ys, ...acrosses.map((one) => one - wide)) - 6 - lean;
    const bottom = Math.max(...ys, ...acrosses.map((one) => one + wide)) + 6 + lean;
    const svg = open(id, data.labels.section, -far, Math.max(...xs) + 8, top, bottom);
    make("line", { class: "axis", x1: 0, x2: 0, y1: top, y2: bottom }, svg);
    const body = make("g", { id: stickId }, svg);
    const outline = make("polygon", { class: "stick" }, body);
    if (holder) make("rect", { class: "jaw", x: 0, y: -holder[0] / 2, width: holder[1], height: holder[0], "fill-opacity": 0.5 }, body);
    if (jaw) make("rect", { class: "jaw", x: 0, y: -width / 2 - 2, width: jaw, height: width + 4, "fill-opacity": 0.5 }, body);
    make("line", { class: "seat", x1: 0, x2: 0, y1: -width, y2: width }, body);
    const shown = make("g", { id: wheelId }, svg);
    const drawn = wheels.map((one, number) => make("polygon", { class: "wheel", "data-wheel": number + 1, points: one.map((at) => at.join(",")).join(" ") }, shown));
    const flow = make("line", { class: "flow", x1: xs[0] - 6, x2: xs[0], y1: top + 2, y2: ys[0] }, svg);
    const gone = make("line", { class: "way", y1: bottom - 2, y2: bottom - 2 }, svg);
    return (now, index) => {
      drawn.forEach((one, number) => { one.style.display = now.before.includes(number) ? "" : "none"; });
      by(`${id}-says`).textContent = now.before.length < drawn.length ? `${data.labels.section}; ${data.labels.elsewhere}` : data.labels.section;
      way(gone, told, index, length);
      body.style.display = now.seat === null ? "none" : "";
      if (now.seat === null) return;
      const end = now.end.length ? now.end : [[-width / 2, width / 2, 0]];
      const points = [[0, -width / 2], ...end.flatMap(([a, b, depth]) => [[length - depth, Math.max(a, -width / 2)], [length - depth, Math.min(b, width / 2)]]), [0, width / 2]];
      outline.setAttribute("points", points.map((at) => at.join(",")).join(" "));
      body.setAttribute("transform", `translate(0 ${now.across + leads}) rotate(${angle * tilt}) translate(${-now.seat} 0)`);
      flow.style.display = now.flowing ? "" : "none";
    };
  };

  const put = (id, text) => { by(id).textContent = text; };

  const show = (index) => {
    const now = current.moments[index];
    moment.value = index;
    put("count", `${index} / ${current.moments.length - 1}`);
    put("now", index === current.moments.length - 1 && current.halt ? current.halt : now.what);
    put("source-line", now.line ? `${now.line}: ${data.lines[now.line - 1] ?? ""}` : "–");
    for (const key of ["position", "feed", "spindle", "coolant", "lock", "gap", "contact", "groove"]) put(key, now[key]);
    by("registers").replaceChildren(...now.registers.map(([text, changed]) => {
      const row = document.createElement("div");
      row.textContent = text;
      if (changed) row.className = "changed";
      return row;
    }));
    put("finding", now.finding.join("\n") || data.labels.none);
    by("finding").classList.toggle("none", !now.finding.length);
    for (const picture of pictures) picture(now, index);
  };

  const stop = () => { clearTimeout(timer); timer = null; play.textContent = play.dataset.play; };
  const next = () => {
    const index = Number(moment.value);
    if (index >= current.moments.length - 1) { stop(); return; }
    show(index + 1);
    const seconds = Math.max(current.moments[index + 1].seconds, 0.3) / Number(pace.value);
    timer = setTimeout(next, Math.min(seconds, 20) * 1000);
  };
  play.addEventListener("click", () => {
    if (timer !== null) { stop(); return; }
    if (Number(moment.value) >= current.moments.length - 1) show(0);
    play.textContent = play.dataset.pause;
    next();
  });
  moment.addEventListener("input", () => { stop(); show(Number(moment.value)); });
  by("step").addEventListener("click", () => { stop(); show(Math.min(Number(moment.value) + 1, current.moments.length - 1)); });
  by("back").addEventListener("click", () => { stop(); show(Math.max(Number(moment.value) - 1, 0)); });

  const choose = () => {
    stop();
    const found = chosen();
    if (!found) return;
    current = found;
    moment.max = current.moments.length - 1;
    draw(current);
    show(0);
  };
  for (const one of choosers) one.addEventListener("change", choose);
  choose();
})();

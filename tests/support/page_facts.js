// What a reader's eye would trip over on the open page, as lists of complaints: empty lists on a good page.
// Sizes are CSS pixels of the screen, after any zoom or scaling of a drawing.
(() => {
  const BODY_FONT_BAND = 0.33; // half of what ink takes of a line, in parts of the letters' size
  const SLACK = 1.5;
  const short = (text) => text.trim().replace(/\s+/g, " ").slice(0, 40);
  const scrollX = window.scrollX, scrollY = window.scrollY;

  function rgb(colour) {
    const parts = (colour.match(/[\d.]+/g) || []).map(Number);
    return { r: parts[0] || 0, g: parts[1] || 0, b: parts[2] || 0, a: parts.length > 3 ? parts[3] : 1 };
  }
  function luminance({ r, g, b }) { // WCAG 2.2, relative luminance
    const [x, y, z] = [r, g, b].map((v) => v / 255).map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4));
    return 0.2126 * x + 0.7152 * y + 0.0722 * z;
  }
  function contrast(one, other) {
    const [low, high] = [luminance(one), luminance(other)].sort((a, b) => a - b);
    return (high + 0.05) / (low + 0.05);
  }
  const over = (top, under) => ({
    r: top.r * top.a + under.r * (1 - top.a), g: top.g * top.a + under.g * (1 - top.a),
    b: top.b * top.a + under.b * (1 - top.a), a: 1,
  });
  function ground(element) { // nearest filled box, upwards; a sheet of paper is white
    for (let at = element; at; at = at.parentElement) {
      const colour = rgb(getComputedStyle(at).backgroundColor);
      if (colour.a > 0.01) return colour.a > 0.99 ? colour : over(colour, at.parentElement ? ground(at.parentElement) : rgb("rgb(255,255,255)"));
    }
    return rgb("rgb(255,255,255)");
  }

  // --- drawings: what is painted under a text is the last shape before it that is filled at its middle -----------
  function paints(value, drawing) {
    const pattern = /url\("?#([^")]+)/.exec(value);
    if (!pattern) return value === "none" ? [] : [rgb(value)];
    const found = document.getElementById(pattern[1]);
    return [...(found ? found.querySelectorAll("*") : [])].flatMap((one) =>
      [getComputedStyle(one).fill, getComputedStyle(one).stroke].flatMap((own) => paints(own, drawing)));
  }
  function grounds(text, drawing, x, y) {
    const halo = getComputedStyle(text);
    if (halo.paintOrder.startsWith("stroke") && halo.stroke !== "none" && parseFloat(halo.strokeWidth) > 0) return paints(halo.stroke, drawing);
    let under = [];
    for (const shape of drawing.querySelectorAll("path,rect,circle,ellipse,polygon")) {
      if (!(shape.compareDocumentPosition(text) & Node.DOCUMENT_POSITION_FOLLOWING) || shape.closest("defs,clipPath,pattern,mask")) continue;
      const style = getComputedStyle(shape);
      if (style.fill === "none" || parseFloat(style.opacity) * parseFloat(style.fillOpacity) < 0.5) continue;
      const point = new DOMPoint(x, y).matrixTransform(shape.getScreenCTM().inverse());
      if (shape.isPointInFill(point)) under = paints(style.fill, drawing);
    }
    return under.length ? under : [ground(drawing)];
  }

  // --- every line of text -----------------------------------------------------------------------------------------
  function lines() {
    const found = [], walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      const holder = node.parentElement;
      if (!node.data.trim() || holder.closest("title,style,script,desc") || getComputedStyle(holder).visibility === "hidden") continue;
      const range = document.createRange();
      range.selectNodeContents(node);
      const boxes = [...range.getClientRects()].filter((box) => box.width > 0.5 && box.height > 0.5);
      if (!boxes.length) continue;
      const drawing = holder.closest("svg"), style = getComputedStyle(holder);
      const scale = drawing ? Math.hypot(holder.getScreenCTM().a, holder.getScreenCTM().b) : holder.currentCSSZoom ?? 1;
      found.push({ node, holder, drawing, style, boxes, px: parseFloat(style.fontSize) * scale, words: short(node.data) });
    }
    return found;
  }
  function bands(all) {
    return all.flatMap((line) => line.boxes.map((box) => {
      const middle = (box.top + box.bottom) / 2, upright = box.height < 1.8 * line.px;
      const half = upright ? BODY_FONT_BAND * line.px : box.height / 2;
      return { line, left: box.left, right: box.right, top: middle - half, bottom: middle + half };
    }));
  }
  function meet(one, other) {
    return Math.min(one.right, other.right) - Math.max(one.left, other.left) > SLACK
      && Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top) > SLACK;
  }
  function overlaps(all) {
    const found = [], sorted = bands(all).sort((a, b) => a.top - b.top);
    sorted.forEach((one, at) => {
      for (let next = at + 1; next < sorted.length && sorted[next].top < one.bottom; next++)
        if (sorted[next].line.node !== one.line.node && meet(one, sorted[next])) found.push(`${one.line.words} / ${sorted[next].line.words}`);
    });
    for (const picture of document.images) {
      const box = picture.getBoundingClientRect(), frame = picture.parentElement;
      for (const band of sorted) if (!frame.contains(band.line.holder) && meet(band, box)) found.push(`${band.line.words} / a picture`);
    }
    return found;
  }
  const scrolls = (element) => {
    for (let at = element; at && at !== document.body; at = at.parentElement)
      if (["auto", "scroll"].includes(getComputedStyle(at).overflowX)) return true;
    return false;
  };
  function clipped(all) {
    const found = [];
    for (const { holder, drawing, boxes, words } of all) for (const box of boxes) {
      if (!scrolls(holder) && (box.left + scrollX < -SLACK || box.right + scrollX > innerWidth + SLACK)) found.push(`off the page: ${words}`);
      if (!drawing || getComputedStyle(drawing).overflow === "visible") continue;
      const sheet = drawing.getBoundingClientRect();
      if (box.left < sheet.left - SLACK || box.right > sheet.right + SLACK || (box.top + box.bottom) / 2 < sheet.top || (box.top + box.bottom) / 2 > sheet.bottom)
        found.push(`off its drawing: ${words}`);
    }
    for (const element of document.body.querySelectorAll("*:not(svg, svg *)"))
      if (["hidden", "clip"].includes(getComputedStyle(element).overflowX) && (element.scrollWidth > element.clientWidth + SLACK || element.scrollHeight > element.clientHeight + SLACK))
        found.push(`cut: ${short(element.textContent)}`);
    return found;
  }
  function pale(all) { // WCAG 2.2, 1.4.3: 4.5, or 3 for large text (24 px, or 18.66 px bold)
    const found = [];
    for (const { holder, drawing, style, boxes, px, words } of all) {
      const box = boxes[0], ink = rgb(drawing ? style.fill : style.color);
      const under = drawing ? grounds(holder, drawing, (box.left + box.right) / 2, (box.top + box.bottom) / 2) : [ground(holder)];
      const wanted = px >= 24 || (px >= 18.66 && style.fontWeight >= 700) ? 3 : 4.5;
      const least = Math.min(...under.map((one) => contrast(ink.a < 1 ? over(ink, one) : ink, one)));
      if (least < wanted) found.push(`${least.toFixed(2)}: ${words}`);
    }
    return found;
  }
  function said() { // words that the style sheet puts before or after
    const found = [];
    for (const element of document.body.querySelectorAll("*")) for (const where of ["::before", "::after"]) {
      const style = getComputedStyle(element, where), words = style.content.replace(/^"|"$/g, "");
      if (style.display === "none" || !/\w/.test(words) || ["none", "normal"].includes(style.content)) continue;
      found.push({ words: short(words), px: parseFloat(style.fontSize) * (element.currentCSSZoom ?? 1), contrast: contrast(rgb(style.color), ground(element)) });
    }
    return found;
  }
  function taps() {
    const what = "a[href],button,input,select,textarea,summary,label,[onclick],[tabindex],[contenteditable]";
    return [...document.querySelectorAll(what)].filter((one) => one.getClientRects().length).map((one) => {
      const box = one.getBoundingClientRect();
      return { what: `${one.localName}: ${short(one.textContent)}`, kind: one.localName, least: Math.min(box.width, box.height) };
    });
  }

  const all = lines(), added = said(), viewport = document.querySelector("meta[name=viewport]");
  return {
    wide: [document.documentElement.scrollWidth, innerWidth],
    lines: all.length,
    drawnLines: all.filter((line) => line.drawing).length,
    pictures: document.images.length,
    unloaded: [...document.images].filter((one) => !one.complete || !one.naturalWidth || one.getBoundingClientRect().width < 1).length,
    viewport: viewport ? viewport.content : "",
    letters: [...all.filter((line) => !line.drawing), ...added].map(({ px, words }) => [Math.round(px * 100) / 100, words]),
    drawn: all.filter((line) => line.drawing).map(({ px, words }) => [Math.round(px * 100) / 100, words]),
    pale: [...pale(all), ...added.filter((one) => one.contrast < 4.5).map((one) => one.words)],
    overlaps: overlaps(all),
    clipped: clipped(all),
    taps: taps(),
    findings: document.querySelectorAll("article.finding").length,
    family: getComputedStyle(document.body).fontFamily,
    fonts: [...document.fonts].filter((font) => font.status === "loaded").length,
    fontsFailed: [...document.fonts].filter((font) => font.status === "error").length,
  };
})()

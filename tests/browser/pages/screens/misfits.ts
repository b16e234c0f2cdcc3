/*
 * What a person at a panel would find amiss on the screen that is shown. Runs in the page.
 *
 * Letters: the height of a capital I, as in Section 508 (36 CFR 1194), 402.4, which wants 4.8 mm where a screen has
 * no enlargement; and the 0.7 degrees that a capital H subtends in EN 301 549 V3.2.1, 5.1.4, at the distance we
 * specify for a panel. Targets: 18 mm either way, common practice for old hands (from memory; studies with kiosks,
 * such as Colle and Hiszem 2004, found nothing gained above 20 mm); WCAG 2.2 asks for far less.
 */

export interface Panel {
  /** CSS pixels. */
  width: number;
  height: number;
  widthMm: number;
  /** From which it is read, mm. */
  distance: number;
}

const leastLetters = 4.8;
const leastTarget = 18;
const leastAngle = 0.7;

/** Height of a capital I in the letters of the screen, as a share of the font size. */
function capitals(): number {
  const context = document.createElement('canvas').getContext('2d')!;
  context.font = `100px ${getComputedStyle(document.body).fontFamily}`;
  return context.measureText('I').actualBoundingBoxAscent / 100;
}

const shown = (element: Element) => element.checkVisibility({ visibilityProperty: true });
const named = (element: Element) =>
  `"${(element.textContent?.trim() || element.getAttribute('aria-label') || element.outerHTML).slice(0, 60)}"`;
const hidden = '.visually-hidden, [data-handout]';

/** Smallest letters and targets of what is shown, millimetres; degrees at the distance of the panel. */
export interface Measures {
  letters: number;
  angle: number;
  target: number;
}

function* texts(): Generator<{ node: Node; parent: Element; rects: DOMRect[] }> {
  const walker = document.createTreeWalker(document.getElementById('root')!, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const parent = node.parentElement;
    if (!parent || !node.textContent?.trim() || parent.closest(hidden) || !shown(parent)) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    yield { node, parent, rects: [...range.getClientRects()].filter(({ width }) => width > 0) };
  }
}

/** Words and telephone numbers with a hyphen that go on in the next line. */
function torn(node: Node): string[] {
  const at = (index: number) => {
    const range = document.createRange();
    range.setStart(node, index);
    range.setEnd(node, index + 1);
    return range.getBoundingClientRect().bottom;
  };
  return [...(node.textContent ?? '').matchAll(/(?:\p{L}+|\d{3,})(-)\u2060?(\p{L}|\d(?=\d\d))[\p{L}\d]*/dgu)]
    .filter(({ indices }) => at(indices![1]![0]) < at(indices![2]![0]) - 1)
    .map(([word]) => word);
}

/** Between the icon of a button and the words beside it, as a share of the size of the letters; 0: they do not stand side by side. */
function gapOf(button: Element): number {
  const [icon, words] = [button.querySelector('svg'), button.querySelector('svg ~ span')];
  if (!icon || !words) return 0;
  const range = document.createRange();
  range.selectNodeContents(words);
  const [sign, text] = [icon.getBoundingClientRect(), range.getBoundingClientRect()];
  const gap = Math.max(text.left - sign.right, sign.left - text.right);
  return gap / Number.parseFloat(getComputedStyle(button).fontSize);
}

export function measure({ widthMm, distance }: Panel): Measures {
  const mm = widthMm / window.innerWidth;
  const share = capitals();
  const sizes = [...texts()].map(
    // A page that is drawn larger tells sizes as they were before.
    ({ parent }) => Number.parseFloat(getComputedStyle(parent).fontSize) * parent.currentCSSZoom,
  );
  const letters = Math.min(...sizes) * share * mm;
  const targets = [...document.querySelectorAll('button, textarea')].filter(shown).map((button) => {
    const { width, height } = button.getBoundingClientRect();
    return Math.min(width, height) * mm;
  });
  return {
    letters,
    angle: (2 * Math.atan(letters / 2 / distance) * 180) / Math.PI,
    target: Math.min(...targets),
  };
}

/** Sentences about what is too small, cut, covered or out of sight. */
export function misfits(panel: Panel): string[] {
  const found: string[] = [];
  const { innerWidth, innerHeight } = window;
  const { scrollWidth, scrollHeight } = document.documentElement;
  if (scrollWidth > innerWidth || scrollHeight > innerHeight)
    found.push(`the page is ${scrollWidth} x ${scrollHeight}`);

  const { letters, angle, target } = measure(panel);
  if (letters < leastLetters) found.push(`letters of ${letters.toFixed(2)} mm`);
  if (angle < leastAngle) found.push(`letters of ${angle.toFixed(2)} degrees`);
  if (target < leastTarget) found.push(`a target of ${target.toFixed(1)} mm`);

  const buttons = [...document.querySelectorAll('button, textarea')].filter(shown);
  const boxes = buttons.map((button) => button.getBoundingClientRect());
  buttons.forEach((button, index) => {
    const box = boxes[index]!;
    if (box.left < 0 || box.right > innerWidth || box.top < 0 || box.bottom > innerHeight)
      found.push(`${named(button)} is off the screen`);
    if (button.scrollWidth > button.clientWidth + 1 || button.scrollHeight > button.clientHeight + 1)
      found.push(`${named(button)} does not hold its words`);
    if (gapOf(button) > 0.8) found.push(`${named(button)} stands far from its icon`);
    boxes.slice(index + 1).forEach((other, offset) => {
      const apart =
        box.right <= other.left ||
        other.right <= box.left ||
        box.bottom <= other.top ||
        other.bottom <= box.top;
      if (!apart) found.push(`${named(button)} lies over ${named(buttons[index + 1 + offset]!)}`);
    });
  });

  for (const element of document.querySelectorAll('#root *')) {
    if (element.closest(hidden) || element.matches('[data-pages], [data-tail]') || !shown(element)) continue;
    if (element instanceof SVGElement || element instanceof HTMLImageElement) continue;
    const { overflowY, display } = getComputedStyle(element);
    if (display === 'inline') continue;
    const what = () => `<${element.tagName.toLowerCase()}> ${named(element)}`;
    if (element.scrollWidth > element.clientWidth + 1) found.push(`${what()} is wider than its room`);
    if (overflowY !== 'visible' && element.scrollHeight > element.clientHeight + 1)
      found.push(`${what()} is higher than its room, by ${element.scrollHeight - element.clientHeight}`);
  }

  for (const { node, parent, rects } of texts()) {
    if (!parent.closest('[data-heard]'))
      for (const word of torn(node)) found.push(`${word} is torn at its hyphen`);
    const room = parent.closest('[data-pages]')?.getBoundingClientRect();
    const tail = parent.closest('[data-tail]')?.getBoundingClientRect();
    for (const { left, top, right, bottom } of rects) {
      const touched = buttons.find((button, index) => {
        const box = boxes[index]!;
        // What letters take of their box: the rest is air above and below them.
        const air = (bottom - top) / 5;
        const apart =
          right <= box.left || box.right <= left || bottom - air <= box.top || box.bottom <= top + air;
        return !apart && !button.contains(parent);
      });
      // Whole lines that went away with the beginning.
      if (tail && bottom <= tail.top + 8) continue;
      // On another page of what has pages.
      if (room && (left >= room.right - 1 || right <= room.left + 1)) continue;
      if (touched) found.push(`${named(parent)} touches ${named(touched)}`);
      // Letters reach a little out of their lines.
      if (room && (bottom > room.bottom + 5 || top < room.top - 5)) found.push(`cut off: ${named(parent)}`);
      const [x, y] = [(left + right) / 2, (top + bottom) / 2];
      if (left < 0 || right > innerWidth + 1 || top < 0 || bottom > innerHeight + 1)
        found.push(`off the screen: ${named(parent)}`);
      else {
        const above = document.elementFromPoint(x, y);
        if (!above || !(parent.contains(above) || above.contains(parent)))
          found.push(`${named(parent)} lies under ${above ? named(above) : 'nothing'}`);
      }
    }
  }
  return [...new Set(found)];
}

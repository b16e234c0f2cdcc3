/*
 * A scanner that acts as a keyboard ("keyboard wedge"): what it reads comes as keys in quick succession and ends with
 * Enter. (With Tab as well, text that a program writes into a form would be taken for a scan.) Told from people by the speed of the keys alone. Pure: time comes with the keys.
 *
 * What was read is taken as it is. Identifiers of a symbology in front (AIM, ISO/IEC 15424, such as "]C1"), prefixes and
 * check digits of GS1 belong to what the hospital prints, and its record system knows whether they count.
 */

/** ms between two keys of a scanner at most. A fast typist takes twice as long for most pairs of keys (own choice). */
const longestGap = 50;
/** Fewer characters are no number of a record, and a person might strike them at once. */
const shortest = 4;

/** A key going down. */
export interface Key {
  /** As `KeyboardEvent.key`. */
  key: string;
  /** ms, from any beginning. */
  at: number;
  /** It is held down: a scanner holds none. */
  repeat: boolean;
  /** With Ctrl, Alt or Meta. Some scanners send control characters so. */
  chord: boolean;
}

/** Keys that may be a scan. */
export interface Burst {
  text: string;
  /** Keys so far, and when the last of them came. */
  keys: number;
  at: number;
}

export const noBurst: Burst = { text: '', keys: 0, at: Number.NEGATIVE_INFINITY };

export interface Step {
  burst: Burst;
  /** What was scanned, when this key ended it. */
  scanned: string | null;
  /** So many keys came so fast that no person struck them. */
  machine: boolean;
}

const silent = new Set(['Shift', 'Control', 'Alt', 'Meta', 'AltGraph', 'CapsLock', 'NumLock']);

/** Takes a key. Never throws. */
export function take(before: Burst, { key, at, repeat, chord }: Key): Step {
  if (silent.has(key) && !repeat) return { burst: before, scanned: null, machine: false };
  const gap = at - before.at;
  const burst = gap >= 0 && gap <= longestGap ? before : noBurst;
  if (!repeat && !chord && key === 'Enter') {
    const text = cleaned(burst.text);
    const scanned = text.length >= shortest ? text : null;
    return { burst: noBurst, scanned, machine: scanned !== null };
  }
  // One character, which may be two units of UTF-16.
  if (repeat || [...key].length !== 1) return { burst: noBurst, scanned: null, machine: false };
  const text = chord ? burst.text : burst.text + key;
  return {
    burst: { text, keys: burst.keys + 1, at },
    scanned: null,
    // A switch may send its blank more than once.
    machine: cleaned(text).length > 2,
  };
}

// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what has to go
const edges = /^[\s\u0000-\u001f\u007f-\u009f]+|[\s\u0000-\u001f\u007f-\u009f]+$/g;

/** Without control characters and blanks at its ends. */
export const cleaned = (text: string): string => text.replace(edges, '');

/*
 * Captions are written for the eye: "555-0142", "10 s", "Dr.". A voice gets the same text as it is said.
 * Everything it does not know, medicine names above all, passes unchanged.
 */

interface Sayings {
  /** Whole written form -> how it is said. */
  short: Record<string, string>;
  /** Unit after a number -> [one, more]. */
  units: Record<string, [string, string]>;
}

const sayings: Record<string, Sayings> = {
  en: {
    short: { 'Dr.': 'Doctor', 'e.g.': 'for example', 'i.e.': 'that is', 'approx.': 'about', '&': 'and' },
    units: {
      s: ['second', 'seconds'],
      sec: ['second', 'seconds'],
      min: ['minute', 'minutes'],
      h: ['hour', 'hours'],
      ft: ['foot', 'feet'],
      mg: ['milligram', 'milligrams'],
      mcg: ['microgram', 'micrograms'],
      ml: ['milliliter', 'milliliters'],
      'l/min': ['liter a minute', 'liters a minute'],
      '%': ['percent', 'percent'],
    },
  },
  es: {
    short: { 'Dr.': 'doctor', 'Dra.': 'doctora', 'p. ej.': 'por ejemplo', 'aprox.': 'más o menos', '&': 'y' },
    units: {
      s: ['segundo', 'segundos'],
      min: ['minuto', 'minutos'],
      h: ['hora', 'horas'],
      mg: ['miligramo', 'miligramos'],
      mcg: ['microgramo', 'microgramos'],
      ml: ['mililitro', 'mililitros'],
      'l/min': ['litro por minuto', 'litros por minuto'],
      '%': ['por ciento', 'por ciento'],
    },
  },
  fr: {
    short: { Dr: 'docteur', 'p. ex.': 'par exemple', 'env.': 'environ', '&': 'et' },
    units: {
      s: ['seconde', 'secondes'],
      min: ['minute', 'minutes'],
      h: ['heure', 'heures'],
      mg: ['milligramme', 'milligrammes'],
      mcg: ['microgramme', 'microgrammes'],
      ml: ['millilitre', 'millilitres'],
      'l/min': ['litre par minute', 'litres par minute'],
      '%': ['pour cent', 'pour cent'],
    },
  },
};

/** Short numbers that are dialled, said digit by digit. */
const emergency = new Set(['000', '111', '112', '911', '988', '999']);

const literal = (text: string) => text.replace(/[.*+?^${}()|[\]\\/]/g, '\\$&');

const digits = (run: string) => [...run].join(' ');

/** "555-0142" -> "5 5 5, 0 1 4 2"; extensions of four digits or more, and 911, alike. "10-15" stays. */
function sayNumbers(text: string): string {
  // A digit beside a decimal point is an amount, not a number to dial.
  const dialled = /(?<![\p{L}\d.,])\+?\(?\d{2,}\)?(?:[ .\-/]{1,2}\(?\d{2,}\)?)*(?![\p{L}\d]|[.,]\d)/gu;
  return text.replace(dialled, (run) => {
    const groups = run.match(/\d+/g)!;
    const all = groups.join('');
    const toDial = groups.length === 1 ? all.length >= 4 || emergency.has(all) : all.length >= 7;
    return toDial ? groups.map(digits).join(', ') : run;
  });
}

/**
 * A caption as a voice should be given it.
 * @param language such as "en" or "es-MX"; an unknown one only gets its phone numbers spelled out
 */
export function asSpoken(text: string, language: string): string {
  const { short, units } = sayings[language.slice(0, 2)] ?? { short: {}, units: {} };
  let said = text;
  for (const [written, spoken] of Object.entries(short)) {
    said = said.replace(new RegExp(`(?<![\\p{L}])${literal(written)}(?![\\p{L}])`, 'gu'), spoken);
  }
  const names = Object.keys(units).sort((a, b) => b.length - a.length);
  if (names.length > 0) {
    const amount = new RegExp(
      `(\\d+(?:[.,]\\d+)?)\\s?(${names.map(literal).join('|')})(?![\\p{L}\\d/])`,
      'giu',
    );
    said = said.replace(amount, (_whole, number: string, unit: string) => {
      const [one, more] = units[unit.toLowerCase()]!;
      return `${number} ${number === '1' ? one : more}`;
    });
  }
  return sayNumbers(said);
}

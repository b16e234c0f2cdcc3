import * as z from 'zod/mini';
import type { KioskTimings, ScanTimings, Timings } from '../../machines';
import { suggest } from '../../phrasebanks/parse';
import { type WordSlots, wordSlots } from '../../phrasebanks/schema';
import { lights } from './shared/light';

/** In milliseconds. Start values of a turn: older adults pause longer and more often inside an answer. */
export const defaultTimings: Timings & KioskTimings & ScanTimings = {
  quietTail: 300,
  shortPause: 2_000,
  longPause: 3_000,
  closePause: 6_000,
  nothingHeard: 12_000,
  longestTurn: 120_000,
  engineStuck: 20_000,
  inactive: 120_000,
  answerWithin: 60_000,
  parkAfter: 120_000,
  scanItem: 2_000,
  scanSettles: 800,
};

const milliseconds = z.int().check(z.gte(0), z.lte(600_000));

/** Whoever is asked "are you still there?" has at least so long to answer. */
const longEnough = z.int().check(z.gte(30_000), z.lte(600_000));

const timingsSchema = z.partial(
  z.strictObject({
    quietTail: milliseconds,
    shortPause: milliseconds,
    longPause: milliseconds,
    closePause: milliseconds,
    nothingHeard: milliseconds,
    longestTurn: milliseconds,
    engineStuck: milliseconds,
    inactive: milliseconds,
    answerWithin: longEnough,
    parkAfter: milliseconds,
    scanSettles: milliseconds,
    scanItem: milliseconds.check(z.gte(300, 'is too short to press a switch in')),
  }),
);

const line = z.string().check(z.trim(), z.minLength(1, 'must not be empty'), z.maxLength(80, 'is too long'));

const wordsSchema = z.partial(
  z.strictObject(
    Object.fromEntries(wordSlots.map((slot) => [slot, line])) as Record<
      (typeof wordSlots)[number],
      typeof line
    >,
  ),
);

/** public/site.json: what differs from house to house. Every key may be left out. */
export const siteSchema = z.strictObject({
  ward: z._default(line, 'Harbor 4'),
  language: z._default(line, 'en'),
  callNumber: z._default(line, '555-0142'),
  emergencyNumber: z._default(line, '911'),
  /** By language: the site's own words for some slots of the texts, such as a distance or a way to clean. */
  words: z._default(z.record(z.string(), wordsSchema), {}),
  timings: z._default(timingsSchema, {}),
  /** How bright the screen is until somebody switches it; 'device': as the system is set. */
  light: z._default(z.enum(lights), 'device'),
  /** The panel, where it is smaller than its pixels let expect: width of its picture in millimetres. */
  screen: z.optional(z.strictObject({ widthMm: z.number().check(z.gte(100), z.lte(3_000)) })),
  /** Where visits are filed when they are over; left out: nowhere. */
  recordServer: z.optional(
    z.strictObject({
      /** The site's gateway to its FHIR R4 server, on this origin: no secret of a server lives in the kiosk. */
      address: z
        .string()
        .check(
          z.regex(
            /^(\/[A-Za-z0-9._~-]+)+$/,
            'must be a path of this site, such as "/fhir", without a "/" at its end',
          ),
        ),
      /** Names the record numbers that staff enter: the identifier system of the server's patients. */
      patientSystem: z
        .string()
        .check(z.regex(/^[a-z][a-z0-9+.-]*:\S+$/, 'must be an address or urn: of an identifier system')),
      /** Tells this kiosk from others; left out: the ward's name. */
      kiosk: z.optional(line),
      /** What the chart note is filed as; left out: LOINC 34895-3, Education note. */
      noteType: z.optional(z.strictObject({ system: line, code: line, display: line })),
    }),
  ),
  /** Finished visits are erased so many days after their last entry; left out: only by staff. */
  keepDays: z.optional(z.int().check(z.gte(1), z.lte(3_650))),
  /**
   * true: where no recogniser on the device knows the language, the learner is asked whether the browser may send
   * the voice to the recogniser of its maker. Never used without a yes.
   */
  cloudHearing: z._default(z.boolean(), false),
});

export interface Site extends Omit<z.infer<typeof siteSchema>, 'timings' | 'words'> {
  words: Record<string, Partial<WordSlots>>;
  timings: Timings & KioskTimings & ScanTimings;
}

/** The settings, and what to tell staff when the file could not be used as it is. */
export interface SiteRead {
  site: Site;
  /** Keys that were read; the others are as by default. */
  given: string[];
  problems: string[];
}

const withDefaults = (given: z.infer<typeof siteSchema>): Site => ({
  ...given,
  words: given.words as Site['words'],
  timings: { ...defaultTimings, ...(given.timings as Partial<Site['timings']>) },
});

const plain = (path: PropertyKey[], message: string) =>
  `site.json${path.length ? `, "${path.join('.')}"` : ''}: ${message}`;

/**
 * Reads the text of site.json. A bad entry is named and replaced by its default, the good ones are kept:
 * a typing slip in one number must not silence the kiosk.
 */
export function readSite(text: string): SiteRead {
  let raw: unknown;
  try {
    raw = JSON.parse(text);
  } catch (error) {
    return {
      site: withDefaults(siteSchema.parse({})),
      given: [],
      problems: [plain([], `is not JSON (${(error as Error).message})`)],
    };
  }
  if (typeof raw !== 'object' || raw === null || Array.isArray(raw)) {
    return {
      site: withDefaults(siteSchema.parse({})),
      given: [],
      problems: [plain([], 'must be an object in braces')],
    };
  }
  const problems: string[] = [];
  const good: Record<string, unknown> = { ...raw };
  for (;;) {
    const result = siteSchema.safeParse(good);
    if (result.success) return { site: withDefaults(result.data), given: Object.keys(good), problems };
    for (const issue of result.error.issues) {
      const keys = issue.code === 'unrecognized_keys' ? issue.keys : [String(issue.path[0])];
      for (const key of keys) {
        problems.push(
          plain(
            issue.code === 'unrecognized_keys' ? [...issue.path, key] : issue.path,
            issue.code === 'unrecognized_keys'
              ? 'is not a known setting and is left out'
              : `${suggest(issue)}; the default is used`,
          ),
        );
        // An unknown key inside timings drops the whole of timings: the rest of it may be mistyped too.
        delete good[issue.path.length ? String(issue.path[0]) : key];
      }
    }
  }
}

/** Fetches site.json from our own origin. Never rejects: without it the kiosk runs on defaults and says so. */
export async function fetchSite(): Promise<SiteRead> {
  try {
    const answer = await fetch('/site.json', { cache: 'no-cache' });
    if (!answer.ok)
      return {
        ...readSite('{}'),
        problems: [`site.json could not be read (${answer.status}); defaults are used`],
      };
    return readSite(await answer.text());
  } catch {
    return { ...readSite('{}'), problems: ['site.json could not be read; defaults are used'] };
  }
}

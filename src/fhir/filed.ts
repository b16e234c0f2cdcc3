import * as z from 'zod/mini';
import { Client, placeOf } from './client';
import { systems } from './codes';
import { FilingProblem } from './problem';
import { plainText } from './text';
import { foundPatient, shown } from './whose';

/*
 * What kiosks have filed, read back from the server: the chart notes of all of them, by the identifier that each
 * carries. Nothing is written, and nothing that was read is stored.
 */

/** A chart note on the server. Empty texts: the server does not say. */
export interface FiledNote {
  id: string;
  visit: string;
  /** When the visit ended. */
  at: string;
  patient: string;
  number: string;
  kiosk: string;
  title: string;
  /** 'preliminary', 'final', 'amended' ...: http://hl7.org/fhir/R4/valueset-composition-status.html */
  docStatus: string;
  /** Other than 'current': replaced, or entered in error. */
  status: string;
  language: string;
  /** null: the server keeps it somewhere else. */
  text: string | null;
}

export interface FiledPage {
  notes: FiledNote[];
  /** There are no older ones. */
  done: boolean;
  /** Entries of this page that could not be read. */
  unreadable: number;
}

const said = z.optional(z.string());
const link = z.object({
  reference: said,
  display: said,
  identifier: z.optional(z.object({ system: said, value: said })),
});
/** As much of a DocumentReference as is shown; a server may add to it. */
const noteSchema = z.object({
  resourceType: z.literal('DocumentReference'),
  id: z.string(),
  identifier: z.array(z.object({ system: said, value: said })),
  status: said,
  docStatus: said,
  date: z.string().check(z.refine((at) => !Number.isNaN(Date.parse(at)), 'is no time')),
  subject: z.optional(link),
  author: z.optional(z.array(link)),
  language: said,
  content: z.optional(
    z.array(z.object({ attachment: z.optional(z.object({ data: said, title: said, language: said })) })),
  ),
});
type Note = z.infer<typeof noteSchema>;
type Link = z.infer<typeof link>;

const bundleSchema = z.object({
  resourceType: z.literal('Bundle'),
  total: z.optional(z.number()),
  link: z.optional(z.array(z.object({ relation: z.string() }))),
  entry: z.optional(z.array(z.object({ resource: z.optional(z.unknown()) }))),
});

const perPage = 20;
const mostAtOnce = 640;

/**
 * Goes through the notes, newest first, page by page. Links to further pages lead past a gateway, so that older ones
 * are asked for by their time; what comes twice then is left out.
 */
export class FiledNotes {
  #before: string | null = null;
  #count = perPage;
  readonly #seen = new Set<string>();
  /** `Type/id` -> the resource; null: the server gives none. */
  readonly #known = new Map<string, Record<string, unknown> | null>();

  constructor(
    private readonly client: Pick<Client, 'ask'>,
    /** What the record numbers are numbers of. */
    private readonly patientSystem: string,
  ) {}

  /** The next page. Rejects with a sentence for staff; asked again, it tries the same page. */
  async more(): Promise<FiledPage> {
    try {
      for (;;) {
        const before = this.#before;
        const page = await this.#page();
        if (page.notes.length > 0 || page.done) return page;
        // More of one and the same time than fit on a page.
        if (this.#before === before) this.#count *= 2;
        if (this.#count > mostAtOnce) throw strange();
      }
    } catch (error) {
      throw new Error(sentence(error));
    }
  }

  async #page(): Promise<FiledPage> {
    const until = this.#before ? `&date=le${this.#before}` : '';
    const identifier = encodeURIComponent(`${systems.part}|`);
    const path = `DocumentReference?identifier=${identifier}&_sort=-date&_count=${this.#count}${until}`;
    const { entry, total, more } = await this.#search(path);
    const fresh: Note[] = [];
    let unreadable = 0;
    for (const given of entry) {
      const read = noteSchema.safeParse(given);
      if (!read.success) {
        if ((given as { resourceType?: unknown } | null)?.resourceType === 'DocumentReference')
          unreadable += 1;
      } else if (visitOf(read.data) && !this.#seen.has(read.data.id)) fresh.push(read.data);
    }
    await this.#lookUp(
      'Patient',
      fresh.flatMap(({ subject }) => subject ?? []),
    );
    await this.#lookUp(
      'Device',
      fresh.flatMap(({ author }) => author ?? []),
    );
    // Only now: whatever failed before is tried again.
    for (const { id } of fresh) this.#seen.add(id);
    const times = entry
      .map((given) => Date.parse(String((given as { date?: unknown } | null)?.date)))
      .filter(Number.isFinite);
    if (times.length > 0) this.#before = new Date(Math.min(...times)).toISOString();
    const done = !more && (total === undefined ? entry.length < this.#count : entry.length >= total);
    const notes = fresh.map((note) => this.#shown(note)).sort((a, b) => b.at.localeCompare(a.at));
    return { notes, done, unreadable };
  }

  async #search(path: string) {
    const { body } = await this.client.ask({ method: 'GET', path });
    const read = bundleSchema.safeParse(body);
    if (!read.success) throw strange();
    const { entry = [], total, link = [] } = read.data;
    return {
      entry: entry.map(({ resource }) => resource),
      total,
      more: link.some(({ relation }) => relation === 'next'),
    };
  }

  /** Fetches what is pointed at, all in one question. A server that does not give it leaves names out. */
  async #lookUp(type: 'Patient' | 'Device', links: Link[]): Promise<void> {
    const places = links.map(({ reference }) => placeOf(reference));
    const missing = [...new Set(places)].filter(
      (place): place is string => place?.startsWith(`${type}/`) === true && !this.#known.has(place),
    );
    if (missing.length === 0) return;
    const ids = missing.map((place) => place.slice(type.length + 1));
    const { entry } = await this.#search(`${type}?_id=${ids.join(',')}&_count=${ids.length}`).catch(
      (error: unknown) => {
        // It cannot be reached or wants quiet: that is no answer. A no is one.
        const { status } = error instanceof FilingProblem ? error.about : {};
        if (status === undefined || status === 429 || status >= 500) throw error;
        return { entry: [] };
      },
    );
    for (const place of missing) this.#known.set(place, null);
    for (const given of entry) {
      const { resourceType, id } = (given ?? {}) as Record<string, unknown>;
      if (resourceType === type) this.#known.set(`${type}/${id}`, given as Record<string, unknown>);
    }
  }

  #shown(note: Note): FiledNote {
    const { id, date, subject, author = [], content = [], docStatus, status, language } = note;
    const attachment = content[0]?.attachment;
    const patient = this.#at(subject);
    const names = patient ? foundPatient('', patient).names.map(shown) : [];
    const device = this.#at(author[0]);
    const ours = identifierIn(device, systems.device) || author[0]?.identifier?.value;
    return {
      id,
      visit: visitOf(note) ?? '',
      at: date,
      patient: names.find(Boolean) ?? plainText(subject?.display ?? '') ?? '',
      number: identifierIn(patient, this.patientSystem) || subject?.identifier?.value || '',
      kiosk: plainText(ours ?? author[0]?.display ?? '') ?? '',
      title: plainText(attachment?.title ?? '') ?? '',
      docStatus: docStatus ?? '',
      status: status ?? '',
      language: attachment?.language ?? language ?? '',
      text: attachment?.data === undefined ? null : fromBase64(attachment.data),
    };
  }

  #at(link: Link | undefined): Record<string, unknown> | null {
    return this.#known.get(placeOf(link?.reference) ?? '') ?? null;
  }
}

/** The pages of a server; each call gives the next one, newest first. */
export function readFiled({ address, patientSystem }: { address: string; patientSystem: string }) {
  const client = new Client({ address, fetch: (...given) => fetch(...given), now: Date.now });
  const notes = new FiledNotes(client, patientSystem);
  return () => notes.more();
}

/** The visit that a note is of; null: it is none of ours. */
function visitOf({ identifier }: Note): string | null {
  const ours = identifier.find(({ system }) => system === systems.part)?.value;
  return ours?.endsWith('.note') ? ours.slice(0, -'.note'.length) : null;
}

function identifierIn(resource: Record<string, unknown> | null, system: string): string {
  const all = Array.isArray(resource?.identifier) ? resource.identifier : [];
  const found = all.find((one: { system?: unknown } | null) => one?.system === system)?.value;
  return typeof found === 'string' ? found : '';
}

function fromBase64(data: string): string | null {
  try {
    return new TextDecoder().decode(Uint8Array.from(atob(data), (sign) => sign.charCodeAt(0)));
  } catch {
    return null;
  }
}

const strange = () => new FilingProblem('server', 'What answers is no list of notes.');

/** Why notes could not be read, for staff, who wait in front of the screen. */
function sentence(error: unknown): string {
  if (!(error instanceof FilingProblem)) return `The notes could not be read. ${(error as Error).message}`;
  const { status, said } = error.about;
  const words = said ? ` It says: “${said}”.` : '';
  const code = status === undefined ? '' : ` (${status}.)`;
  if (status === 401 || status === 403)
    return `The record server does not let this kiosk read notes. Ask IT whether the gateway may read DocumentReference, Patient and Device.${code}${words}`;
  if (status === 429)
    return `The record server asks for fewer requests. Wait a minute, then try again.${code}`;
  if (status !== undefined && status >= 500)
    return `The record server is busy or out of order. Try again in a few minutes.${code}${words}`;
  if (status !== undefined)
    return `The record server does not answer this question. Ask IT whether notes can be searched for there by identifier and date.${code}${words}`;
  if (error.message.startsWith('What answers'))
    return 'What answers is no record server, or gives no list of notes. Ask IT to check the address in site.json and the gateway.';
  return 'The record server cannot be reached or did not answer to the end. Try again; if this stays, ask IT to check the network and the gateway.';
}

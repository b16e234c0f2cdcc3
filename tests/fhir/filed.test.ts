import type { DocumentReference } from '@medplum/fhirtypes';
import { afterEach, describe, expect, it } from 'vitest';
import { Client, type Request } from '../../src/fhir/client';
import { systems } from '../../src/fhir/codes';
import { type FiledNote, FiledNotes } from '../../src/fhir/filed';
import { toBase64 } from '../../src/fhir/text';
import { wholeVisit } from '../records/fixtures';
import { everything, type Fault, type FhirServer, startServer } from './server';
import { idOf, makeWorld, patientSystem, register, store } from './world';

let server: FhirServer;
afterEach(() => server.close());

const notesOf = (address = server.address) =>
  new FiledNotes(new Client({ address, fetch, now: Date.now }), patientSystem);

/** A note as another kiosk has filed it; `n` is the minute of it. */
const note = (n: number, changes: Partial<DocumentReference> = {}): DocumentReference => ({
  resourceType: 'DocumentReference',
  identifier: [{ system: systems.part, value: `${idOf(n)}.note` }],
  status: 'current',
  docStatus: 'preliminary',
  date: new Date(Date.UTC(2026, 2, 2, 0, n)).toISOString(),
  content: [{ attachment: { contentType: 'text/plain; charset=utf-8', data: toBase64(`Note ${n} é`) } }],
  ...changes,
});

async function serves(notes: DocumentReference[] = []): Promise<FhirServer> {
  server = await startServer(everything);
  for (const each of notes) await server.repository.createResource(each);
  return server;
}

async function all(notes: FiledNotes): Promise<FiledNote[]> {
  const found: FiledNote[] = [];
  for (let pages = 0; pages < 100; pages += 1) {
    const page = await notes.more();
    found.push(...page.notes);
    if (page.done) return found;
  }
  throw new Error('There is no end of it');
}

describe('the notes on the server', () => {
  it('are what a kiosk has filed: whose, when, from which kiosk, how far signed, and word for word', async () => {
    await serves();
    await register(server, 'A-1');
    const world = makeWorld(server);
    await store(world, wholeVisit, idOf(1), 'A-1');
    await world.outbox.wake();
    const { notes, done, unreadable } = await notesOf().more();
    expect({ done, unreadable }).toEqual({ done: true, unreadable: 0 });
    expect(notes).toHaveLength(1);
    expect(notes[0]).toMatchObject({
      visit: idOf(1),
      patient: 'Ines Marlow',
      number: 'A-1',
      kiosk: 'Harbor 4',
      title: 'Patient education by teach-back: Inhaler practice',
      docStatus: 'preliminary',
      status: 'current',
      language: 'en',
    });
    const [stored] = server.repository.all('DocumentReference') as DocumentReference[];
    expect(notes[0]?.text).toBe(
      Buffer.from(stored?.content?.[0]?.attachment?.data ?? '', 'base64').toString('utf8'),
    );
    expect(notes[0]?.text).toContain('Ines Marlow');
  });

  it('come newest first, page by page, each once, however many are of the same minute', async () => {
    const minutes = Array.from({ length: 130 }, (_, n) => (n >= 40 && n < 90 ? 40 : n));
    await serves(
      minutes.map((minute, n) => note(n, { date: new Date(Date.UTC(2026, 2, 2, 0, minute)).toISOString() })),
    );
    const found = await all(notesOf());
    expect(found.map(({ visit }) => visit).sort()).toEqual(minutes.map((_, n) => idOf(n)).sort());
    const times = found.map(({ at }) => at);
    expect(times).toEqual([...times].sort().reverse());
  });

  it('are asked for in pages, not all at once, and with one question for all patients of a page', async () => {
    const patients = [];
    await serves();
    for (const n of [1, 2, 3]) patients.push(await register(server, `A-${n}`));
    for (let n = 0; n < 30; n += 1) {
      const subject = { reference: `Patient/${patients[n % 3]?.id}` };
      await server.repository.createResource(note(n, { subject }));
    }
    const { notes, done } = await notesOf().more();
    expect(notes).toHaveLength(20);
    expect(done).toBe(false);
    expect(new Set(notes.map(({ number }) => number))).toEqual(new Set(['A-1', 'A-2', 'A-3']));
    expect(server.asked.map(({ method, url }) => `${method} ${url.split('?')[0]}`)).toEqual([
      'GET /DocumentReference',
      'GET /Patient',
    ]);
  });

  it('are ours only, whatever else a server gives', async () => {
    await serves([
      note(1),
      note(2, { identifier: [{ system: 'urn:oid:2.999.7', value: 'theirs.note' }] }),
      note(3, { identifier: [{ system: systems.part, value: `${idOf(3)}.other` }] }),
    ]);
    expect((await all(notesOf())).map(({ visit }) => visit)).toEqual([idOf(1)]);
  });

  it('are none where nothing was filed', async () => {
    await serves();
    expect(await notesOf().more()).toEqual({ notes: [], done: true, unreadable: 0 });
  });

  it('say how they stand: final, amended, entered in error', async () => {
    await serves([
      note(1, { docStatus: 'final' }),
      note(2, { docStatus: 'amended' }),
      note(3, { status: 'entered-in-error' }),
    ]);
    expect((await all(notesOf())).map(({ docStatus, status }) => `${status} ${docStatus}`)).toEqual([
      'entered-in-error preliminary',
      'current amended',
      'current final',
    ]);
  });

  it('name kiosk and patient that are only named in them, as on a server that takes the note alone', async () => {
    await serves([
      note(1, {
        subject: { identifier: { system: patientSystem, value: 'A-7' }, display: 'Ines Marlow' },
        author: [
          { identifier: { system: systems.device, value: 'harbor-5' }, display: 'Ownwords kiosk, harbor-5' },
        ],
      }),
    ]);
    expect((await all(notesOf()))[0]).toMatchObject({
      patient: 'Ines Marlow',
      number: 'A-7',
      kiosk: 'harbor-5',
    });
  });

  it('say so when the server keeps the text elsewhere, or what is no text', async () => {
    await serves([note(1, { content: [{ attachment: { url: 'Binary/1' } }] })]);
    expect((await all(notesOf()))[0]?.text).toBeNull();
  });
});

describe('a server of another kind', () => {
  /** Answers by hand, as other servers do that the router is not. */
  const hand = (answer: (path: string) => object) =>
    new FiledNotes(
      {
        ask: async ({ path }: Request) => ({ status: 200, body: answer(path), location: null }),
      },
      patientSystem,
    );
  const bundle = (resources: unknown[], more = {}) => ({
    ...{ resourceType: 'Bundle', type: 'searchset', ...more },
    entry: resources.map((resource) => ({ resource })),
  });
  const given = (n: number, changes: object = {}) => ({ ...note(n), id: `n${n}`, ...changes });

  it('that gives ten at most, and a link to the next: all are found', async () => {
    await serves();
    const notes = Array.from({ length: 35 }, (_, n) => given(n)).reverse();
    const server = hand((path) => {
      const until = /date=le(.*)$/.exec(path)?.[1];
      const rest = notes.filter(({ date }) => !until || (date ?? '') <= until);
      return bundle(
        rest.slice(0, 10),
        rest.length > 10 ? { link: [{ relation: 'next', url: 'https://elsewhere/' }] } : {},
      );
    });
    expect(await all(server)).toHaveLength(35);
  });

  it('that writes times with an offset: none is lost and none comes twice', async () => {
    await serves();
    const notes = Array.from({ length: 45 }, (_, n) =>
      given(n, { date: new Date(Date.UTC(2026, 2, 2, 2, n)).toISOString().replace('Z', '+02:00') }),
    ).reverse();
    const server = hand((path) => {
      const until = Date.parse(/date=le(.*)$/.exec(path)?.[1] ?? '2099-01-01');
      return bundle(notes.filter(({ date }) => Date.parse(date ?? '') <= until).slice(0, 20));
    });
    expect(await all(server)).toHaveLength(45);
  });

  it('that puts things in which cannot be read: they are counted, the rest is shown', async () => {
    await serves();
    const server = hand(() =>
      bundle([
        given(1),
        { resourceType: 'DocumentReference', id: 'x' },
        { resourceType: 'OperationOutcome', issue: [] },
        null,
        given(2, { content: [{ attachment: { data: '%%' } }] }),
      ]),
    );
    const page = await server.more();
    expect(page).toMatchObject({ unreadable: 1, done: true });
    expect(page.notes.map(({ text }) => text)).toEqual([null, 'Note 1 é']);
  });

  it('that gives the same for ever: a sentence, and an end', async () => {
    await serves();
    let asked = 0;
    const server = hand(() => {
      asked += 1;
      return bundle([given(1)], { link: [{ relation: 'next', url: 'x' }] });
    });
    await server.more();
    await expect(server.more()).rejects.toThrow('no list of notes');
    expect(asked).toBeLessThan(12);
  });
});

describe('a server that does not give them', () => {
  const fails = async (fault: Fault | null, address?: string): Promise<string> => {
    await serves([note(1, { subject: { reference: 'Patient/1' } })]);
    server.faults = () => fault;
    return notesOf(address)
      .more()
      .then(
        () => '',
        (error: Error) => error.message,
      );
  };

  it.each<[number, RegExp]>([
    [401, /does not let this kiosk read/],
    [403, /does not let this kiosk read.*DocumentReference, Patient and Device.*“Not now”/],
    [400, /does not answer this question.*identifier and date/],
    [404, /does not answer this question/],
    [429, /fewer requests/],
    [500, /busy or out of order/],
    [503, /busy or out of order/],
  ])('refuses with %i: what to do is said', async (status, sentence) => {
    expect(await fails({ at: 'before', status })).toMatch(sentence);
  });

  it('is away, or its answer ends in the middle', async () => {
    expect(await fails({ at: 'after', how: 'lost' })).toContain('cannot be reached');
    await server.close();
    expect(await fails({ at: 'after', how: 'half' })).toContain('cannot be reached');
    await server.close();
    expect(await fails(null, 'http://127.0.0.1:9/fhir')).toContain('cannot be reached');
  });

  it('gives another thing than a list', async () => {
    await serves();
    const strange = new FiledNotes(
      { ask: async () => ({ status: 200, body: { resourceType: 'Patient' }, location: null }) },
      patientSystem,
    );
    await expect(strange.more()).rejects.toThrow('gives no list of notes');
  });

  it('does not give patients: notes are shown without their names', async () => {
    await serves([note(1, { subject: { reference: 'Patient/1' } })]);
    server.faults = ({ url }) => (url.startsWith('/Patient') ? { at: 'before', status: 403 } : null);
    expect((await notesOf().more()).notes[0]).toMatchObject({ visit: idOf(1), patient: '' });
  });

  it('is gone between notes and patients: the same page is there when it is asked again', async () => {
    await serves();
    const patient = await register(server, 'A-1');
    await server.repository.createResource(note(1, { subject: { reference: `Patient/${patient.id}` } }));
    const notes = notesOf();
    server.faults = ({ url }) => (url.startsWith('/Patient') ? { at: 'before', status: 503 } : null);
    await expect(notes.more()).rejects.toThrow('busy');
    server.faults = () => null;
    expect((await notes.more()).notes[0]).toMatchObject({ patient: 'Ines Marlow' });
  });
});

import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { Client } from '../../src/fhir/client';
import { FiledNotes } from '../../src/fhir/filed';
import { FilingProblem } from '../../src/fhir/problem';
import { Filing } from '../../src/fhir/send';
import { derive } from '../../src/records/derive';
import { mutatedBytes, mutatedJson, mutatedRuns } from '../mutated';
import { texts, visitId, wholeVisit } from '../records/fixtures';
import { everything, type FhirServer, type Offers, startServer } from './server';
import { patientSystem, register } from './world';

/* What a record server may answer: a real one's answers, spoilt. Nothing but a sentence for staff comes of it. */

interface Said {
  status: number;
  headers: [string, string][];
  body: string;
}

let server: FhirServer;
/** What a server says that has a note of ours. */
let listed: Said[];
beforeAll(async () => {
  server = await startServer(everything);
  await register(server, 'A-19');
  await fileBy(fetch);
  listed = await conversation(listBy);
});
afterAll(() => server.close());

const facts = wholeVisit.map((fact) =>
  fact.type === 'visit-started' ? { ...fact, start: { ...fact.start, recordNumber: 'A-19' } } : fact,
);
const record = derive(
  facts.map((fact, seq) => ({ visit: visitId, seq, at: `2026-03-02T18:0${seq % 10}:00.000Z`, fact })),
  texts,
);
const settings = { patientSystem, kiosk: 'Harbor 4', timeZone: 'UTC' };
const fileBy = (ask: typeof fetch) =>
  new Filing(new Client({ address: server.address, fetch: ask, now: () => 0 }), settings).file({
    record,
    texts,
    doubtful: false,
    filed: false,
    changed: false,
    beforeUnsafe: async () => {},
  });
const listBy = async (ask: typeof fetch) => {
  const notes = new FiledNotes(
    new Client({ address: server.address, fetch: ask, now: () => 0 }),
    patientSystem,
  );
  await notes.more();
};

/** Each answer of a real server in one such conversation. */
async function conversation(talk: (ask: typeof fetch) => Promise<unknown>): Promise<Said[]> {
  const said: Said[] = [];
  await talk(async (...given) => {
    const answer = await fetch(...given);
    const body = await answer.clone().text();
    said.push({ status: answer.status, headers: [...answer.headers], body });
    return answer;
  });
  return said;
}

const spoilt = ({ status, headers, body }: Said): fc.Arbitrary<Said> =>
  fc.record({
    status: fc.oneof(
      { weight: 4, arbitrary: fc.constant(status) },
      { weight: 1, arbitrary: fc.integer({ min: 200, max: 599 }) },
    ),
    headers: fc.oneof(
      fc.constant(headers),
      fc.constantFrom<[string, string][]>(
        [],
        [['Retry-After', '-5']],
        [['Retry-After', 'soon']],
        [['Location', 'javascript:alert(1)']],
        [['Location', '/Patient/../../x']],
      ),
    ),
    body: body
      ? fc.oneof(
          { weight: 4, arbitrary: mutatedJson(JSON.parse(body)).map((value) => JSON.stringify(value) ?? '') },
          {
            weight: 1,
            arbitrary: mutatedBytes(new TextEncoder().encode(body)).map((some) =>
              new TextDecoder().decode(some),
            ),
          },
          { weight: 2, arbitrary: fc.constant(body) },
        )
      : fc.constantFrom('', 'null', '[]', '"x"', '{}'),
  });

/** The answers in their order, and the last one for whatever else is asked. */
const playing =
  (all: Said[]): typeof fetch =>
  async () => {
    const { status, headers, body } = all.length > 1 ? all.shift()! : all[0]!;
    const empty = status === 204 || status === 205 || status === 304;
    return new Response(empty ? null : body, { status, headers });
  };

const tiers: [string, Partial<Offers>][] = [
  ['in one step', {}],
  ['one by one', { transaction: false }],
  ['the note alone', { transaction: false, types: ['DocumentReference'] }],
];

describe('answers of a record server that were spoilt', () => {
  test.each(tiers)('end a filing in success or in a sentence for staff: %s', async (_, offers) => {
    server.offers = { ...everything, ...offers };
    const said = await conversation(fileBy);
    expect(said.length).toBeGreaterThan(2);
    let refused = 0;
    await fc.assert(
      fc.asyncProperty(fc.tuple(...said.map(spoilt)), async (answers) => {
        const error = await fileBy(playing(answers)).then(
          () => null,
          (cause: unknown) => cause,
        );
        if (error === null) return;
        refused += 1;
        expect(error).toBeInstanceOf(FilingProblem);
        expect((error as Error).message).toMatch(/^[A-Z][^\n]{20,}[.)]$/);
        expect((error as Error).message).not.toMatch(/undefined|\[object|Cannot read/);
      }),
      mutatedRuns(300),
    );
    expect(refused).toBeGreaterThan(50);
  });

  test('end a look at what is filed in a list or in a sentence for staff', async () => {
    expect(listed.length).toBeGreaterThan(1);
    await fc.assert(
      fc.asyncProperty(fc.tuple(...listed.map(spoilt)), async (answers) => {
        const error = await listBy(playing(answers)).then(
          () => null,
          (cause: unknown) => cause as Error,
        );
        if (error) expect(error.message).toMatch(/^[A-Z][^\n]{20,}[.)]$/);
        if (error) expect(error.message).not.toMatch(/undefined|\[object|Cannot read/);
      }),
      mutatedRuns(300),
    );
  });
});

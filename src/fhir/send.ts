import * as z from 'zod/mini';
import type { ModuleFile, TeachingFile } from '../../phrasebanks/schema';
import type { VisitRecord } from '../records/derive';
import { type Capability, readCapability, tierOf, type Way } from './capability';
import { type Answer, type Client, placeOf } from './client';
import { type Code, systems } from './codes';
import { id } from './elements';
import { type Part, partId, partIdentifier, parts } from './parts';
import { FilingProblem } from './problem';
import { type Resources, visitResources } from './resources';
import type { DocumentReference, Reference } from './schema';
import { plainText } from './text';
import { asked, type FoundPatient, foundPatient, whose } from './whose';

/** What site.json says about the record server. */
export interface FilingSettings {
  /** Names the numbers that staff enter: `urn:oid:...` or an address. */
  patientSystem: string;
  /** Names this kiosk among others. */
  kiosk: string;
  noteType?: Code | undefined;
  timeZone?: string;
}

export interface VisitToFile {
  record: VisitRecord;
  texts: { module: ModuleFile; teaching: TeachingFile };
  /** It may have been filed before, and nothing can tell. Only asked about where a server offers no safe way. */
  doubtful: boolean;
  /** All of it was filed before, as it was then. */
  filed: boolean;
  /** Something was added since it was first to be filed: what the server has may be of before. */
  changed: boolean;
  /** Called and awaited before a step that must not be done twice unseen. */
  beforeUnsafe: () => Promise<void>;
}

const writtenSchema = z.looseObject({ resourceType: z.string(), id: z.optional(id) });
type Written = z.infer<typeof writtenSchema>;
/** What is read of a bundle that a server gives. */
const bundleSchema = z.object({
  resourceType: z.literal('Bundle'),
  type: z.optional(z.string()),
  entry: z.optional(
    z.array(
      z.object({
        resource: z.optional(writtenSchema),
        response: z.optional(z.object({ status: z.optional(z.string()) })),
      }),
    ),
  ),
});

interface Begun {
  patient: string;
  places: Partial<Record<Part, string>>;
  /** What was written there, as JSON. */
  texts: Partial<Record<Part, string>>;
}

/**
 * Files visits with one server. What can be done is read from `/metadata` once; `begin` reads it anew.
 * Filing the same visit again leaves the same single resources.
 */
export class Filing {
  #capability: Capability | null = null;
  #device: Reference | null = null;
  /** By visit that is not yet filed whole: whose it is, and where its parts are, so that a try goes on from the last. */
  readonly #begun = new Map<string, Begun>();

  constructor(
    private readonly client: Client,
    private readonly settings: FilingSettings,
  ) {}

  begin(): void {
    this.#capability = null;
  }

  /** Resolves when all of it is filed. Rejects with a FilingProblem. */
  async file(visit: VisitToFile): Promise<void> {
    const { record, texts } = visit;
    const number = plainText(record.recordNumber ?? '');
    if (!number) {
      throw new FilingProblem(
        'person',
        'Whose visit this is, is not known to the record. Enter the record number of the patient.',
      );
    }
    this.#capability ??= readCapability((await this.client.ask({ method: 'GET', path: 'metadata' })).body);
    const capability = this.#capability;
    const patient = { reference: await this.#patient(record, number) };
    const id = record.visit ?? '';
    const types = Object.values(parts).map(({ type }) => type);
    const tier = tierOf(capability, types);
    const device = tier === 'C' ? this.#named : await this.#registered(capability);
    const learner = await this.#learner(record, patient, tier === 'C' ? null : capability);
    const address = (part: Part) => `urn:uuid:${partId(id, part)}`;
    const { noteType, timeZone } = this.settings;
    const made = visitResources(record, texts, {
      ...{ patient, learner, device, part: address },
      ...(noteType ? { noteType } : {}),
      ...(timeZone ? { timeZone } : {}),
    });

    if (tier === 'A') {
      if (await this.#inOneStep(visit, made, address, capability)) return;
      // It said it would, and does not.
      this.#capability = { ...capability, transaction: false };
    }
    const begun = this.#beginning(id, patient.reference);
    const { places } = begun;
    for (const part of tier === 'C' ? (['note'] as const) : (Object.keys(parts) as Part[])) {
      const resource = made[part];
      const text = JSON.stringify(resource);
      // Something may have been added between two tries.
      if (!resource || (places[part] && begun.texts[part] === text)) continue;
      const linked = pointingAt(
        resource,
        new Map(Object.entries(places).map(([to, place]) => [address(to as Part), place])),
      );
      places[part] = await this.#write(linked, partIdentifier(id, part), capability, visit);
      begun.texts[part] = text;
    }
    this.#begun.delete(id);
  }

  #beginning(visit: string, patient: string): Begun {
    const before = this.#begun.get(visit);
    // For another patient all of it is written anew.
    const begun = before?.patient === patient ? before : { patient, places: {}, texts: {} };
    this.#begun.set(visit, begun);
    return begun;
  }

  /** The one patient with this number, if it is plain that it is the one of the visit. Never creates one. */
  async #patient(record: VisitRecord, number: string): Promise<string> {
    const identifier = { system: this.settings.patientSystem, value: number };
    const all = (await this.#found('Patient', identifier)).map((one) =>
      foundPatient(`Patient/${one.id}`, one),
    );
    const [found] = all;
    if (found && all.length === 1) return theirs(record, number, found);
    throw new FilingProblem(
      'person',
      all.length === 0
        ? 'The record server knows no patient with this record number. Check the number and enter it again.'
        : 'The record server has more than one patient with this record number, so nothing was filed. Copy the note into the chart and ask IT.',
    );
  }

  async #found(type: string, identifier: { system: string; value: string }): Promise<Written[]> {
    const { body } = await this.client.ask({ method: 'GET', path: `${type}?${queryFor(identifier)}` });
    const bundle = bundleSchema.safeParse(body).data;
    if (!bundle) throw strange(`GET ${type}`);
    // A search may carry an OperationOutcome among what it found.
    return (bundle.entry ?? []).flatMap(({ resource }) =>
      resource?.resourceType === type && resource.id ? [resource] : [],
    );
  }

  get #named(): Reference {
    const { kiosk } = this.settings;
    return {
      type: 'Device',
      identifier: { system: systems.device, value: kiosk },
      display: `Ownwords kiosk, ${kiosk}`,
    };
  }

  /** The kiosk as the server knows it, or by name where it takes no devices. */
  async #registered(capability: Capability): Promise<Reference> {
    if (this.#device) return this.#device;
    const way = capability.ways.get('Device');
    if (!way || way === 'post') return this.#named;
    const identifier = { system: systems.device, value: this.settings.kiosk };
    const device = {
      resourceType: 'Device',
      id: await uuidOf(`${identifier.system}|${identifier.value}`),
      identifier: [identifier],
      status: 'active',
      deviceName: [{ name: `Ownwords kiosk, ${this.settings.kiosk}`, type: 'user-friendly-name' }],
    };
    this.#device = { reference: await this.#write(device, identifier, capability) };
    return this.#device;
  }

  /** @param capability null: by name only */
  async #learner(record: VisitRecord, patient: Reference, capability: Capability | null): Promise<Reference> {
    const learner = record.start?.learner;
    if (learner?.role !== 'caregiver' || !record.visit) return patient;
    const name = plainText(learner.name) ?? 'Caregiver';
    const relation = plainText(learner.relation ?? '') ?? 'caregiver';
    const way = capability?.ways.get('RelatedPerson');
    if (!capability || !way || way === 'post')
      return { type: 'RelatedPerson', display: `${name} (${relation})` };
    const identifier = { system: systems.part, value: `${record.visit}.caregiver` };
    const person = {
      resourceType: 'RelatedPerson',
      id: await uuidOf(`${identifier.system}|${identifier.value}`),
      identifier: [identifier],
      patient,
      relationship: [{ text: relation }],
      name: [{ text: name }],
    };
    return { reference: await this.#write(person, identifier, capability) };
  }

  /** Writes one resource, once however often it is called. Where it is then: `Type/id`. */
  async #write(
    given: Written,
    identifier: { system: string; value: string },
    capability: Capability,
    visit?: Pick<VisitToFile, 'doubtful' | 'filed' | 'changed' | 'beforeUnsafe'>,
  ): Promise<string> {
    const { resourceType: type } = given;
    const way = capability.ways.get(type) ?? 'post';
    const query = queryFor(identifier);
    const { id, ...body } = given;
    let answer: Answer;
    if (way === 'put-id') {
      await this.client.ask({ method: 'PUT', path: `${type}/${id}`, body: given });
      return `${type}/${id}`;
    }
    if (way === 'put-if') {
      answer = await this.client.ask({ method: 'PUT', path: `${type}?${query}`, body });
    } else if (way === 'post-if') {
      answer = await this.client.ask({ method: 'POST', path: type, body, unless: query });
      // 200: it was there, and was left as it is (http://hl7.org/fhir/R4/http.html#ccreate).
      if (visit?.changed && answer.status === 200) {
        const written = writtenSchema.safeParse(answer.body).data;
        const [there] =
          written?.resourceType === type && written.id ? [written] : await this.#found(type, identifier);
        if (there) return this.#change(there, body, capability);
      }
    } else {
      if (way === 'look-first') {
        const [there] = await this.#found(type, identifier);
        if (there && visit?.changed) return this.#change(there, body, capability);
        if (there) return `${type}/${there.id}`;
      } else if (visit?.filed) {
        throw unchangeable();
      } else if (visit?.doubtful) {
        throw new FilingProblem(
          'person',
          'The note may have reached the chart, and this server cannot tell. Look into the chart; if the note is not there, press “Try again”.',
        );
      } else {
        await visit?.beforeUnsafe();
      }
      answer = await this.client.ask({ method: 'POST', path: type, body });
    }
    return placeIn(answer, type) ?? (await this.#lookUp(type, identifier, way));
  }

  /** Puts it in place of what is there. */
  async #change(there: Written, body: Written, capability: Capability): Promise<string> {
    const place = `${there.resourceType}/${there.id}`;
    if (mayStay(there, body, capability)) return place;
    await this.client.ask({ method: 'PUT', path: place, body: { ...body, id: there.id } });
    return place;
  }

  /** For servers that say neither where nor what they wrote. */
  async #lookUp(type: string, identifier: { system: string; value: string }, way: Way): Promise<string> {
    // Nothing points at what was written so: where it is does not matter.
    if (way === 'post') return type;
    const [there] = await this.#found(type, identifier);
    if (!there) throw strange(`POST ${type}`);
    return `${type}/${there.id}`;
  }

  /** false: this server takes no bundles after all. */
  async #inOneStep(
    { record, changed }: VisitToFile,
    made: Resources,
    address: (part: Part) => string,
    capability: Capability,
  ): Promise<boolean> {
    const entry: object[] = [];
    for (const part of Object.keys(parts) as Part[]) {
      const resource = made[part];
      if (!resource) continue;
      const { id, ...body } = resource;
      const type = resource.resourceType;
      const identifier = partIdentifier(record.visit ?? '', part);
      const query = queryFor(identifier);
      const way = capability.ways.get(type);
      const [there] = changed && way === 'post-if' ? await this.#found(type, identifier) : [];
      const [own, request] =
        way === 'put-id'
          ? [resource, { method: 'PUT', url: `${type}/${id}` }]
          : way === 'put-if'
            ? [body, { method: 'PUT', url: `${type}?${query}` }]
            : there && !mayStay(there, body, capability)
              ? [
                  { ...body, id: there.id },
                  { method: 'PUT', url: `${type}/${there.id}` },
                ]
              : [body, { method: 'POST', url: type, ifNoneExist: query }];
      entry.push({ fullUrl: address(part), resource: own, request });
    }
    const bundle = { resourceType: 'Bundle', type: 'transaction', entry };
    let answer: Answer;
    try {
      answer = await this.client.ask({ method: 'POST', path: '', body: bundle });
    } catch (error) {
      const { status } = (error as FilingProblem).about;
      if (status === 404 || status === 405 || status === 501) return false;
      throw error;
    }
    const answered = bundleSchema.safeParse(answer.body).data;
    const good = answered?.entry?.filter(({ response }) => /^2\d\d/.test(response?.status ?? ''));
    if (answered?.type !== 'transaction-response' || good?.length !== entry.length)
      throw strange('POST bundle');
    return true;
  }
}

/**
 * Whether what a server has of before can stay. Throws where it cannot, and the server changes nothing: then the note
 * tells, which is written first, and by such a server once.
 */
function mayStay(there: Written, wanted: Written, { changeable }: Capability): boolean {
  if (changeable.has(wanted.resourceType)) return false;
  const [before, now] = [there, wanted].map((one) => {
    const { subject, content } = one as Partial<DocumentReference>;
    return JSON.stringify([subject?.reference, content?.[0]?.attachment.data]);
  });
  if (wanted.resourceType === 'DocumentReference' && before !== now) throw unchangeable();
  return true;
}

const unchangeable = () =>
  new FilingProblem(
    'person',
    'The record has this visit as it was before, and this server changes nothing that it has. Copy the note into the chart, then press “It is in the chart”.',
  );

/** Where the patient is. Throws unless it is plain, or staff have said, that the visit is theirs. */
function theirs(record: VisitRecord, number: string, found: FoundPatient): string {
  const answer = whose(record, number, found);
  if (answer === 'theirs') return found.reference;
  if (answer === 'not-theirs') {
    throw new FilingProblem(
      'person',
      'Staff said that this record number belongs to somebody else, so nothing was filed. Enter the right record number.',
    );
  }
  throw new FilingProblem(
    'person',
    record.start?.learner.role === 'caregiver'
      ? 'A caregiver learned here, so the kiosk cannot tell whether the record number is that of the patient. Nothing is filed until somebody of the staff opens the visit and says so.'
      : 'The record has another name for this record number than was entered for the learner. Nothing is filed until somebody of the staff opens the visit and says whose it is.',
    { asks: asked(number, found) },
  );
}

/** The same, pointing at where things were put in place of what they were called before. */
function pointingAt<T extends object>(resource: T, places: ReadonlyMap<string, string>): T {
  return JSON.parse(JSON.stringify(resource), (key, value) =>
    key === 'reference' ? (places.get(value) ?? value) : value,
  );
}

const strange = (what: string) =>
  new FilingProblem(
    'visit',
    `The record server answered in a way that does not tell whether it has filed the visit; the kiosk tries again. (${what}.)`,
  );

/** system|value as a search takes it, of which `|`, `,` and `$` are signs (http://hl7.org/fhir/R4/search.html#escaping). */
function queryFor({ system, value }: { system: string; value: string }): string {
  const escaped = value.replace(/[\\,|$]/g, '\\$&');
  return `identifier=${encodeURIComponent(`${system}|${escaped}`)}`;
}

function placeIn({ body, location }: Answer, type: string): string | null {
  const written = writtenSchema.safeParse(body).data;
  if (written?.resourceType === type && written.id) return `${type}/${written.id}`;
  const place = placeOf(location);
  return place?.startsWith(`${type}/`) ? place : null;
}

/** The same UUID for the same name: its SHA-256, cut, version 8 (RFC 9562, 5.8). */
async function uuidOf(name: string): Promise<string> {
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', new TextEncoder().encode(name)));
  const hex = [...digest.slice(0, 16)].map((byte) => byte.toString(16).padStart(2, '0')).join('');
  const variant = ((Number.parseInt(hex[16] ?? '0', 16) & 3) | 8).toString(16);
  return [
    hex.slice(0, 8),
    hex.slice(8, 12),
    `8${hex.slice(13, 16)}`,
    `${variant}${hex.slice(17, 20)}`,
    hex.slice(20),
  ].join('-');
}

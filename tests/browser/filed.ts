import type { BrowserContext, Page } from 'playwright-core';
import { readModule } from '../../phrasebanks/read';
import { freshRow, headerAfter } from '../../src/records/rows';
import type { VisitEvent } from '../../src/records/types';
import type { FhirServer } from '../fhir/server';
import { startOf } from '../records/fixtures';

const { id: module, version: moduleVersion, steps } = readModule('inhaler-spacer');

/** A visit that is over, of the learner of the fixtures. */
export function visitOver(visit: string, recordNumber: string, at: string): VisitEvent[] {
  const start = startOf({ visit, module, moduleVersion, steps: steps.map((step) => step.id), recordNumber });
  return [
    { visit, seq: 0, at, fact: { type: 'visit-started', start } },
    { visit, seq: 1, at, fact: { type: 'finished', how: 'stopped' } },
  ];
}

/** Puts visits into the store of a kiosk, as if they had been held there; they wait to be filed. Load the page anew. */
export async function putVisits(page: Page, visits: VisitEvent[][]): Promise<void> {
  await page.evaluate(
    async (all) => {
      const db = await new Promise<IDBDatabase>((done, fail) => {
        const open = indexedDB.open('ownwords');
        open.onsuccess = () => done(open.result);
        open.onerror = () => fail(open.error);
      });
      const tx = db.transaction(['events', 'visits', 'outbox'], 'readwrite');
      for (const { events, header, row } of all) {
        for (const event of events) tx.objectStore('events').add(event, [event.visit, event.seq]);
        tx.objectStore('visits').add(header, row.visit);
        tx.objectStore('outbox').add(row, row.visit);
      }
      await new Promise((done) => {
        tx.oncomplete = done;
      });
      db.close();
    },
    visits.map((events) => ({
      events,
      header: headerAfter(null, events),
      row: freshRow(events[0]?.visit ?? ''),
    })),
  );
}

/** Leads `/fhir` of a kiosk to a server, in place of the gateway of a site. `out`: the cable is out. */
export async function withGateway(
  context: BrowserContext,
  kiosk: string,
  server: FhirServer,
): Promise<{ out: boolean }> {
  const cable = { out: false };
  await context.route(/\/fhir(\/|$)/, async (route) => {
    if (cable.out) return route.abort('internetdisconnected');
    const request = route.request();
    const path = new URL(request.url()).href.slice(`${kiosk}/fhir`.length);
    const answer = await fetch(server.address + path, {
      method: request.method(),
      headers: { 'Content-Type': 'application/fhir+json' },
      body: request.postData(),
    });
    return route.fulfill({ status: answer.status, body: await answer.text() });
  });
  return cable;
}

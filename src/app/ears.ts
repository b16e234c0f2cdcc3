import { BrowserCloudHearing, BrowserHearing } from '../hearing/browser/engine';
import { chooseHearing } from '../hearing/choose';
import type { EndReason, Hearing } from '../hearing/types';
import type { VisitFact } from '../records/types';

/** Who hears a turn. `hearing` null: nobody; then `reason` tells which trouble the learner is told of. */
export interface Ear {
  hearing: Hearing | null;
  /** A sentence for the record. */
  why: string;
  reason?: EndReason;
}

/** What staff should know of languages in which the built-in recogniser is less well tried than in English. */
const builtIn: Readonly<Record<string, string>> = {
  fr: 'Hears by the built-in recogniser. French has been tried on artificial voices only: it may often ask back, so be ready to have answers given by touch.',
};
const subtag = (language: string): string => language.toLowerCase().split('-')[0] ?? '';

/** What a test puts in place of the real engines. */
export interface Engines {
  browser: Hearing & Pick<BrowserHearing, 'installable' | 'install'>;
  embedded: Hearing;
  /** Made only after a yes of site and learner. */
  cloud: (allowed: { bySite: true; byLearner: true }) => Hearing;
  /** Whether this browser has such a recogniser at all. */
  hasCloud: () => boolean;
}

const here = (embedded: Hearing): Engines => ({
  browser: new BrowserHearing(),
  embedded,
  cloud: (allowed) => new BrowserCloudHearing(allowed),
  hasCloud: () => BrowserCloudHearing.isThere(),
});

/**
 * The ears of the kiosk in the order tried: the browser's on the device, the built-in one, and, only when the site
 * allows it and the log of the visit holds the learner's yes, the browser's over the network.
 */
export class Ears {
  readonly #engines: Engines;
  readonly #onDevice: readonly Hearing[];
  readonly #failed = new Set<Hearing>();
  #bySite = false;
  #cloud: Hearing | null = null;

  constructor(embedded: Hearing, engines: Engines = here(embedded)) {
    this.#engines = engines;
    this.#onDevice = [engines.browser, engines.embedded];
  }

  /** `cloudHearing` of site.json. */
  allowCloud(bySite: boolean): void {
    this.#bySite = bySite;
    if (!bySite) this.#cloud = null;
  }

  /** A visit begins, or goes on from its log. What failed before, and any leave given, was another visit's. */
  begin(past: readonly VisitFact[]): void {
    this.#failed.clear();
    this.#cloud = null;
    this.take(past);
  }

  /** Facts as they were stored: leave counts when it is in the log, not before. */
  take(facts: readonly VisitFact[]): void {
    for (const fact of facts) {
      if (fact.type !== 'cloud-asked') continue;
      this.#cloud =
        this.#bySite && fact.agreed && fact.engine === 'browser-cloud'
          ? this.#engines.cloud({ bySite: true, byLearner: true })
          : null;
    }
  }

  failed(hearing: Hearing): void {
    this.#failed.add(hearing);
  }

  /** Has the learner to be asked whether the voice may leave the device? */
  async asksCloud(language: string): Promise<boolean> {
    if (!this.#bySite || !this.#engines.hasCloud()) return false;
    return (await chooseHearing(this.#onDevice, language)).hearing === undefined;
  }

  /** May change between turns: a microphone is plugged in, a worker dies. */
  async choose(language: string): Promise<Ear> {
    const failed = this.#onDevice.filter((engine) => this.#failed.has(engine));
    const notUsed: string[] = [];
    const ask = async (engines: readonly Hearing[]) => {
      const { hearing, passedOver } = await chooseHearing(engines, language);
      notUsed.push(...passedOver.map(({ id, why }) => `${id}: ${why}`));
      unknown ||= passedOver.some(({ reason }) => reason === 'language-missing');
      return hearing ?? null;
    };
    let unknown = false;
    let hearing = await ask(this.#onDevice.filter((engine) => !failed.includes(engine)));
    if (hearing) {
      notUsed.push(...failed.map(({ id }) => `${id}: It failed earlier in this visit.`));
    } else if (failed.length > 0) {
      // When nothing else is left, all get another chance: a worker that died can be started again.
      this.#failed.clear();
      hearing = await ask(failed);
    }
    // Last, and not at all where an ear on the device serves the language, even one that failed before.
    if (!hearing && this.#cloud) {
      hearing = await ask([this.#cloud]);
      if (hearing) notUsed.push('The site allows it and the learner agreed.');
    }
    const why = notUsed.join(' ') || 'The first one asked.';
    return hearing
      ? { hearing, why }
      : { hearing, why, reason: unknown ? 'language-missing' : 'engine-failed' };
  }

  /** For the start form, in a sentence. */
  async tell(language: string): Promise<string> {
    const { hearing, passedOver } = await chooseHearing(this.#onDevice, language);
    if (hearing?.id === 'embedded') return builtIn[subtag(language)] ?? 'Hears by the built-in recogniser.';
    if (hearing) return 'Hears by the browser, on this device.';
    const why = passedOver.map(({ id, why }) => `${id}: ${why}`).join(' ');
    return (await this.asksCloud(language))
      ? `Cannot hear this language on this device (${why}). The learner is asked first whether the browser may send the voice over the network; otherwise answers are given by touch.`
      : `Cannot hear this language here (${why}); answers are given by touch.`;
  }

  /** Could the browser's language pack be fetched? */
  packOffered(language: string): Promise<boolean> {
    return this.#engines.browser.installable(language);
  }

  /** Fetches it; call straight from a press. What happened, in a sentence for staff. Never rejects. */
  async installPack(language: string): Promise<string> {
    const done = await this.#engines.browser.install(language);
    return done.ok
      ? 'The language pack is installed. The browser can hear this language on this device.'
      : (done.detail ?? 'The language pack could not be installed.');
  }
}

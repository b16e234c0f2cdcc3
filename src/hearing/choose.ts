import type { Availability, EndReason, EngineId, Hearing } from './types';

export interface Choice {
  /** The first engine that is there, if any is. */
  hearing: Hearing | undefined;
  /** Engines that were asked before it and why they are not used: sentences for the visit's record. */
  passedOver: { id: EngineId; why: string; reason: EndReason }[];
}

const WITHIN = 3_000;

/** Asks engines in order; the first that is there is taken. An engine that does not answer is passed over. */
export async function chooseHearing(
  engines: readonly Hearing[],
  language: string,
  within = WITHIN,
): Promise<Choice> {
  const passedOver: Choice['passedOver'] = [];
  for (const hearing of engines) {
    const answer = await ask(hearing, language, within);
    if (answer.ok) return { hearing, passedOver };
    passedOver.push({ id: hearing.id, why: answer.detail ?? plain(answer), reason: answer.reason });
  }
  return { hearing: undefined, passedOver };
}

async function ask(hearing: Hearing, language: string, within: number): Promise<Availability> {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const late = new Promise<Availability>((resolve) => {
    timer = setTimeout(
      () => resolve({ ok: false, reason: 'engine-failed', detail: 'It did not answer whether it is there.' }),
      within,
    );
  });
  try {
    return await Promise.race([hearing.available(language), late]);
  } catch (error) {
    return { ok: false, reason: 'engine-failed', detail: `It failed when asked: ${String(error)}` };
  } finally {
    clearTimeout(timer);
  }
}

function plain(answer: Extract<Availability, { ok: false }>): string {
  switch (answer.reason) {
    case 'language-missing':
      return 'It does not know the language.';
    case 'no-device':
      return 'There is no microphone.';
    case 'denied':
      return 'The microphone may not be used.';
    case 'network':
      return 'Its service cannot be reached.';
    default:
      return 'It is not there.';
  }
}

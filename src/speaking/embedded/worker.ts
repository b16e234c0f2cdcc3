import type { Ask, Reply } from './messages';
import { loadSynthesizer, type Synthesizer } from './synthesizer';

let synthesizer: Synthesizer | undefined;

async function answer(ask: Ask): Promise<Reply> {
  if (ask.do === 'load') {
    const response = await fetch(ask.url);
    if (!response.ok) throw new Error(`${response.status} for the voice data at ${ask.url}`);
    synthesizer = await loadSynthesizer(await response.arrayBuffer());
    return { id: ask.id, ok: true };
  }
  if (!synthesizer) throw new Error('asked to speak before the voice was loaded');
  return { id: ask.id, ok: true, ...synthesizer.synthesize(ask.text, ask.language, ask.rate) };
}

self.onmessage = async ({ data }: MessageEvent<Ask>) => {
  try {
    const reply = await answer(data);
    self.postMessage(reply, { transfer: reply.ok && reply.samples ? [reply.samples.buffer] : [] });
  } catch (error) {
    self.postMessage({ id: data.id, ok: false, error: String(error) } satisfies Reply);
  }
};

import createModule from 'soundswallower';
import { modelFor } from './models';
import type { FromWorker, ToWorker } from './protocol';
import type { Recogniser, Turn } from './sphinx/recogniser';
import { modelFiles } from './transformer/files';
import type { TransformerRecogniser, TransformerTurn } from './transformer/recogniser';

const scope = globalThis as unknown as {
  postMessage(message: FromWorker): void;
  onmessage: ((event: MessageEvent<ToWorker>) => void) | null;
};

let recogniser: Recogniser | TransformerRecogniser | undefined;
let current: { id: number; turn: Turn | TransformerTurn } | undefined;

/** Only what the language needs is loaded. */
async function open({ language, modelBase }: ToWorker & { type: 'open' }) {
  const model = modelFor(language);
  if (model?.reader !== 'transformer') {
    const { Recogniser } = await import('./sphinx/recogniser');
    return Recogniser.open({ createModule, modelBase }, language);
  }
  const { TransformerRecogniser } = await import('./transformer/recogniser');
  const base = `${modelBase}${model.folder}/`;
  return TransformerRecogniser.open({
    files: {
      encoder: await fetched(base + modelFiles.encoder),
      decoder: await fetched(base + modelFiles.decoder),
    },
    module: await createModule({ print: () => {}, printErr: () => {} }),
  });
}

async function fetched(address: string): Promise<Uint8Array> {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`${new URL(address).pathname} is not there (${answer.status})`);
  return new Uint8Array(await answer.arrayBuffer());
}

async function take(message: ToWorker): Promise<void> {
  switch (message.type) {
    case 'open':
      recogniser = await open(message);
      scope.postMessage({ type: 'opened' });
      return;
    case 'listen': {
      if (!recogniser) throw new Error('asked to listen before the model was open');
      current?.turn.cancel();
      const unknown = recogniser.expect(message.phrases);
      current = { id: message.turn, turn: recogniser.turn(message.sampleRate) };
      scope.postMessage({ type: 'listening', turn: message.turn, unknown });
      return;
    }
    case 'audio': {
      if (current?.id !== message.turn) return;
      const { turn } = current;
      for (const event of turn.push(message.samples)) scope.postMessage({ ...event, turn: message.turn });
      scope.postMessage({ type: 'took', turn: message.turn });
      const interim = 'think' in turn ? await turn.think() : undefined;
      if (interim) scope.postMessage({ ...interim, turn: message.turn });
      return;
    }
    case 'finish': {
      if (current?.id !== message.turn) return;
      const heard = await current.turn.finish();
      current = undefined;
      scope.postMessage({ type: 'finished', turn: message.turn, ...(heard ? { heard } : {}) });
      return;
    }
    case 'cancel':
      if (current?.id !== message.turn) return;
      current.turn.cancel();
      current = undefined;
  }
}

/** One after the other: reading takes its time, and sound goes on coming meanwhile. */
let before: Promise<void> = Promise.resolve();
scope.onmessage = ({ data }) => {
  before = before
    .then(() => take(data))
    .catch((error: unknown) => {
      scope.postMessage({ type: 'failed', detail: error instanceof Error ? error.message : String(error) });
    });
};

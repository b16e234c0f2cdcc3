import createModule from 'soundswallower';
import type { FromWorker, ToWorker } from './protocol';
import { Recogniser, type Turn } from './recogniser';

const scope = globalThis as unknown as {
  postMessage(message: FromWorker): void;
  onmessage: ((event: MessageEvent<ToWorker>) => void) | null;
};

let recogniser: Recogniser | undefined;
let current: { id: number; turn: Turn } | undefined;

async function take(message: ToWorker): Promise<void> {
  switch (message.type) {
    case 'open':
      recogniser = await Recogniser.open({ createModule, modelBase: message.modelBase }, message.language);
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
    case 'audio':
      if (current?.id !== message.turn) return;
      for (const event of current.turn.push(message.samples))
        scope.postMessage({ ...event, turn: message.turn });
      scope.postMessage({ type: 'took', turn: message.turn });
      return;
    case 'finish': {
      if (current?.id !== message.turn) return;
      const heard = current.turn.finish();
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

scope.onmessage = ({ data }) => {
  take(data).catch((error: unknown) => {
    scope.postMessage({ type: 'failed', detail: error instanceof Error ? error.message : String(error) });
  });
};

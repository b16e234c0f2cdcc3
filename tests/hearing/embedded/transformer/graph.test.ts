import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { env, InferenceSession, Tensor } from 'onnxruntime-web/wasm';
import { describe, expect, test } from 'vitest';
import { modelFolder } from '../../../../src/hearing/embedded/model-files';
import { modelFor } from '../../../../src/hearing/embedded/models';
import { LIKELIEST, likeliest, modelFiles } from '../../../../src/hearing/embedded/transformer/files';
import { withLikeliest } from '../../../../src/hearing/embedded/transformer/graph';

// Threads would want a browser.
env.wasm.numThreads = 1;
const published = await readFile(join(modelFolder(modelFor('en')!), modelFiles.decoder));

/** What the decoder gives at the start of a text, of a sound that is as good as any. */
function feeds(frames: number): Record<string, Tensor> {
  const state = Float32Array.from(
    { length: frames * 288 },
    (_, i) => Math.sin(i * 0.37) * Math.cos(i * 0.011),
  );
  const all: Record<string, Tensor> = {
    input_ids: new Tensor('int64', [1n], [1, 1]),
    encoder_hidden_states: new Tensor('float32', state, [1, frames, 288]),
    use_cache_branch: new Tensor('bool', [false], [1]),
  };
  for (let layer = 0; layer < 6; layer++)
    for (const of of ['decoder', 'encoder'])
      for (const what of ['key', 'value'])
        all[`past_key_values.${layer}.${of}.${what}`] = new Tensor(
          'float32',
          new Float32Array(0),
          [1, 8, 0, 36],
        );
  return all;
}

describe('the end of the decoder, put in other words', () => {
  test('gives the likeliest tokens that the published one gives, nearly as likely', async () => {
    // As in the ear: putting the graphs in another order takes longer than all the rest.
    const options = { graphOptimizationLevel: 'disabled' as const };
    const before = await InferenceSession.create(published, options);
    const after = await InferenceSession.create(withLikeliest(published), options);
    expect(after.outputNames).not.toContain('logits');
    for (const frames of [40, 130, 415]) {
      const { logits } = await before.run(feeds(frames));
      const row = [...(logits!.data as Float32Array)];
      const total = Math.log(row.reduce((sum, logit) => sum + Math.exp(logit), 0));
      const out = await after.run(feeds(frames));
      const tokens = [...(out[likeliest.tokens]!.data as BigInt64Array)].map(Number);
      const logs = [...(out[likeliest.logs]!.data as Float32Array)];
      expect(tokens).toHaveLength(LIKELIEST);
      const best = row.map((logit, token) => ({ token, logit })).sort((a, b) => b.logit - a.logit);
      expect(tokens[0]).toBe(best[0]!.token);
      // Its states are rounded to bytes now, as in all its other layers.
      const shared = best.slice(0, LIKELIEST).filter(({ token }) => tokens.includes(token));
      expect(shared.length).toBeGreaterThanOrEqual(LIKELIEST - 3);
      for (const [i, token] of tokens.entries())
        expect(Math.abs(logs[i]! - (row[token]! - total))).toBeLessThan(0.25);
    }
  });

  test('is not put on another file', () => {
    expect(() => withLikeliest(Uint8Array.from([0x3a, 0]))).toThrow('no branches');
    expect(() => withLikeliest(Uint8Array.from([0xa0, 0x06, 1]))).toThrow('not known');
    expect(() => withLikeliest(published.subarray(0, 1000))).toThrow();
  });
});

import type { Earcon } from '../../../machines/services';
import { sound } from './sound';

/** Notes in Hz with their lengths in seconds. Ours: rising = your turn, falling = taken, one = at work. */
const tunes: Record<Earcon, [number, number][]> = {
  'your-turn': [
    [440, 0.09],
    [660, 0.14],
  ],
  heard: [
    [660, 0.08],
    [523, 0.12],
  ],
  thinking: [[392, 0.1]],
  'take-your-time': [[330, 0.16]],
};

/** Carries through a room, and is like no other sound of ours. */
const callTune: [number, number][] = [0, 1, 2].flatMap(() => [
  [880, 0.22],
  [587, 0.22],
]);

/** A short soft tone. */
export function playEarcon(name: Earcon): void {
  play(tunes[name], name === 'take-your-time' ? 0.04 : 0.12);
}

/** Calls for whoever is near, loudly. */
export function playCall(): void {
  play(callTune, 0.6);
}

/** Makes no sound when the page may not make one yet. */
function play(tune: [number, number][], loudness: number): void {
  const audio = sound();
  if (audio.state !== 'running') return;
  let at = audio.currentTime + 0.01;
  for (const [pitch, length] of tune) {
    const tone = audio.createOscillator();
    const gain = audio.createGain();
    tone.frequency.value = pitch;
    gain.gain.setValueAtTime(0, at);
    gain.gain.linearRampToValueAtTime(loudness, at + 0.015);
    gain.gain.linearRampToValueAtTime(0, at + length);
    tone.connect(gain).connect(audio.destination);
    tone.start(at);
    tone.stop(at + length);
    at += length;
  }
}

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

/** A short soft tone. Says nothing when the page may not make a sound yet. */
export function playEarcon(name: Earcon): void {
  const audio = sound();
  if (audio.state !== 'running') return;
  const loudness = name === 'take-your-time' ? 0.04 : 0.12;
  let at = audio.currentTime + 0.01;
  for (const [pitch, length] of tunes[name]) {
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

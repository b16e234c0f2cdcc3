import type { Earcon } from '../../../machines/services';
import { sound } from './sound';
import { renderEarcon } from './tones';

const rendered = new Map<string, AudioBuffer>();

function bufferOf(name: Earcon, audio: AudioContext): AudioBuffer {
  const key = `${name} ${audio.sampleRate}`;
  const known = rendered.get(key);
  if (known) return known;
  const samples = renderEarcon(name, audio.sampleRate);
  const buffer = audio.createBuffer(1, samples.length, audio.sampleRate);
  buffer.copyToChannel(samples, 0);
  rendered.set(key, buffer);
  return buffer;
}

/**
 * A short sound, as loud as the voice is now. None when the page may not make one yet.
 * @param volume of the voice, 0..1
 */
export function playEarcon(name: Earcon, volume: number): void {
  const audio = sound();
  if (audio.state !== 'running') return;
  const source = audio.createBufferSource();
  const gain = audio.createGain();
  source.buffer = bufferOf(name, audio);
  gain.gain.value = volume;
  source.connect(gain).connect(audio.destination);
  source.onended = () => gain.disconnect();
  source.start();
}

/** Carries through a room, and is like no other sound of ours. */
const callTune: [number, number][] = [0, 1, 2].flatMap(() => [
  [880, 0.22],
  [587, 0.22],
]);

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

import type { ClipStore } from '../records/types';
import { browserVoice } from '../speaking';
import { clipKey } from '../speaking/clip/key';
import { playClip } from '../speaking/clip/play';
import { withClips } from '../speaking/clip/voice';
import type { Speaking } from '../speaking/types';
import type { Board } from './board';
import { sound } from './services/sound';

/** The voice of the kiosk: the staff's recording of a sentence where there is one, else the voices in their order. */
export const kioskVoice = (store: () => ClipStore, { quietly, notice }: Board): Speaking =>
  withClips(
    {
      // A store that cannot be read leaves the voice, and is told.
      find: async (language, sentence) => {
        const reading = clipKey(language, sentence).then((key) => store().clip(key));
        const clip = await quietly(reading, null);
        return clip && new Blob([clip.wav], { type: 'audio/wav' });
      },
      unplayable: (_language, sentence, why) =>
        notice(
          `The recording of “${sentence}” cannot be played (${why}), so the computer voice said it. Record it again or delete it.`,
        ),
    },
    playClip,
    browserVoice(() => sound().destination),
  );

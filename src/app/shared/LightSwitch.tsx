import { Action } from './Action';
import { setLight, useNight } from './light';
import { useWords } from './words';

/** A sun at night, a moon by day: whoever sits before the screen makes it as bright as their eyes like. */
export function LightSwitch() {
  const words = useWords();
  const night = useNight();
  return (
    <Action
      kind="quiet"
      turn="last"
      icon={night ? 'sun' : 'moon'}
      label={night ? words.brightScreen : words.darkScreen}
      onPress={() => setLight(night ? 'day' : 'night')}
    />
  );
}

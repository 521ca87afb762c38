// The sound at the end of a timer: made, not loaded, so it works without a network. A browser lets it sound only after a tap.
let audio: AudioContext | null = null;

export function allowSound(): void {
  audio ??= new AudioContext();
  void audio.resume();
}
/** Keeps the screen on; what is returned lets it sleep again. Not every browser can, and none does for a page that is hidden. */
export function stayAwake(): () => void {
  let wanted = true;
  let lock: { release(): Promise<void> } | null = null;
  const ask = (): void => {
    if (!('wakeLock' in navigator) || document.visibilityState !== 'visible') return;
    void navigator.wakeLock.request('screen').then((got) => { if (wanted) lock = got; else void got.release(); }, () => undefined);
  };
  ask();
  document.addEventListener('visibilitychange', ask);
  return () => {
    wanted = false;
    document.removeEventListener('visibilitychange', ask);
    void lock?.release();
  };
}
export function ring(): void {
  navigator.vibrate?.([400, 200, 400, 200, 800]);
  if (audio === null) return;
  for (let i = 0; i < 6; ++i) {
    const begin = audio.currentTime + 0.45 * i;
    const tone = audio.createOscillator();
    const loudness = audio.createGain();
    tone.frequency.value = i % 2 === 0 ? 880 : 660;
    loudness.gain.setValueAtTime(0.5, begin);
    loudness.gain.exponentialRampToValueAtTime(0.001, begin + 0.4);
    tone.connect(loudness).connect(audio.destination);
    tone.start(begin);
    tone.stop(begin + 0.42);
  }
}

// The sound at the end of a timer: made, not loaded, so it works without a network. A browser lets it sound only after a tap.
let audio: AudioContext | null = null;

export function allowSound(): void {
  audio ??= new AudioContext();
  void audio.resume();
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

// Hears that something of a topic was written, by this device or another. Returns what ends it.
export function hear(topic: string, how: () => void): () => void {
  const source = new EventSource('/api/changes');
  source.addEventListener('change', (event) => {
    if ((JSON.parse(String(event.data)) as { topic: string }).topic === topic) how();
  });
  source.addEventListener('all', how);
  // Nobody told what was written while the line was down.
  let lost = false;
  source.onerror = () => void (lost = true);
  source.onopen = () => {
    if (lost) how();
    lost = false;
  };
  return () => source.close();
}

// The beer as it will look: a tumbler, five centimetres across, in the colour the program reckons.
export function Glass({ colour, label }: { colour: string; label: string }) {
  return (
    <svg class="glass" viewBox="0 0 100 132" role="img" aria-label={label}>
      <path d="M15 26h70l-7 92a6 6 0 0 1-6 6H28a6 6 0 0 1-6-6z" fill={colour} />
      <path d="M13.500 12q10-7 20-2q9-6 19-1q9-5 17 1q9-4 17 2l-1.200 17q-8 4-16 0q-9 5-18 1q-9 4-19 0q-9 4-17.600-1z" fill="#f6ead2" />
      <path d="M24 34l5 80" stroke="#fff" stroke-opacity="0.35" stroke-width="4" stroke-linecap="round" fill="none" />
      <path d="M12 8l8.500 111a9 9 0 0 0 9 8h41a9 9 0 0 0 9-8L88 8" fill="none" stroke="currentColor" stroke-width="3" stroke-linecap="round" stroke-linejoin="round" />
    </svg>
  );
}

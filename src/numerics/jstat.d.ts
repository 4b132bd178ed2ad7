/** The parts of jstat this project uses; it ships no types of its own. */
declare module 'jstat' {
  const jStat: {
    readonly normal: { pdf(x: number, mean: number, standardDeviation: number): number };
  };
  export default jStat;
}

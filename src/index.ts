// The library's table of contents, in the order data flows. Notebooks import from here only.

// extraction: a folder of sheets, read, checked and harmonised

export type { ArmEvents } from './extraction/armEvents.ts';
export type { EventSelection, EventsLeftOut, SelectionDepartures } from './extraction/eventSelection.ts';
export { formatProblem, type Problem } from './extraction/problem.ts';
export { type MidGrooveRule, midGrooveRules, type Protocol } from './extraction/protocol.ts';
export { readReview } from './extraction/readReview.ts';
export { readReviewFolder } from './extraction/readReviewFolder.ts';
export { isReported, type NotReported, notReported, type Reported } from './extraction/reported.ts';
export type { Review, ReviewReading } from './extraction/review.ts';
export type { RowAddress } from './extraction/rowAddress.ts';
export { selectEvents } from './extraction/selectEvents.ts';
export { type ClassifiedSite, type PooledSite, pooledSites, siteNames } from './extraction/site.ts';

// numerics: what every stage may use

export type { Interval } from './numerics/interval.ts';
export { seededUniform } from './numerics/seededUniform.ts';

// effects: one reported result as one estimate with its variance

export { absoluteEffect } from './effects/absoluteEffect.ts';
export { analysisScales, contrastScales, rateScales } from './effects/analysisScale.ts';
export { backTransformRate } from './effects/backTransformRate.ts';
export type { Count, Estimate, LeftOut } from './effects/estimate.ts';
export { estimateRate } from './effects/estimateRate.ts';
export { estimateRates } from './effects/estimateRates.ts';
export { isEstimate } from './effects/isEstimate.ts';
export { naturalValue } from './effects/naturalValue.ts';
export { rateInterval, rateIntervalMethods } from './effects/rateInterval.ts';
export { changeFromBaseline, correlationFromDeviations } from './effects/scores/changeFromBaseline.ts';
export { clinicalThresholds, findThresholds } from './effects/scores/clinicalThresholds.ts';
export { combineGroups } from './effects/scores/combineGroups.ts';
export { convertSummary } from './effects/scores/convertSummary.ts';
export {
  deviationFromIntervalOfDifference,
  deviationFromPValue,
  deviationFromStandardErrorOfDifference,
  deviationFromTStatistic,
} from './effects/scores/deviationFromDifference.ts';
export { deviationFromInterval } from './effects/scores/deviationFromInterval.ts';
export { deviationFromStandardError } from './effects/scores/deviationFromStandardError.ts';
export { deviationFromSummary, deviationFromSummaryMethods } from './effects/scores/deviationFromSummary.ts';
export { estimateMeans } from './effects/scores/estimateMeans.ts';
export { estimateScoreContrasts, scoreMeasures } from './effects/scores/estimateScoreContrasts.ts';
export { findScale } from './effects/scores/findScale.ts';
export { harmoniseScore } from './effects/scores/harmoniseScore.ts';
export { meanFromSummary, meanFromSummaryMethods } from './effects/scores/meanFromSummary.ts';
export { probabilityDifferenceExceeds } from './effects/scores/probabilityDifferenceExceeds.ts';
export { ratioOfMeans } from './effects/scores/ratioOfMeans.ts';
export { scaleRegistry } from './effects/scores/scaleRegistry.ts';
export { selectScores } from './effects/scores/selectScores.ts';
export { skewnessFromSummary } from './effects/scores/skewnessFromSummary.ts';
export { smallSampleFactor } from './effects/smallSampleFactor.ts';
export { meanDifference, standardisedMeanDifference, standardisedVariances } from './effects/twoMeans.ts';
export { oddsRatio, riskDifference, riskRatio } from './effects/twoRates.ts';
export type { ZeroEvents } from './effects/zeroEvents.ts';

// pooling: many estimates as one summary, its heterogeneity, its prediction

export { type DeviationPrior, deviationPriorKinds } from './pooling/bayesian/deviationPrior.ts';
export { type MeanPrior, meanPriorKinds, weaklyInformativeLogitMean } from './pooling/bayesian/meanPrior.ts';
export { posteriorBinomialNormal } from './pooling/bayesian/posteriorBinomialNormal.ts';
export { posteriorNormalNormal } from './pooling/bayesian/posteriorNormalNormal.ts';
export type {
  PosteriorBinomialNormal,
  PosteriorNormalNormal,
  PosteriorRefused,
} from './pooling/bayesian/posteriorResult.ts';
export {
  type PriorSensitivity,
  priorSensitivity,
  usualDeviationPriors,
} from './pooling/bayesian/priorSensitivity.ts';
export { probabilityRateBelow } from './pooling/bayesian/probabilityRateBelow.ts';
export { probabilityRateExceeds } from './pooling/bayesian/probabilityRateExceeds.ts';
export {
  type CoverageResult,
  type CoverageScenario,
  simulateCoverage,
} from './pooling/calibration/simulateCoverage.ts';
export { type Caution, type CautionCode, cautionCodes } from './pooling/caution.ts';
export { compareMethods, type MethodAnswer, type MethodsCompared } from './pooling/compareMethods.ts';
export { type ClusterRobustMean, clusterRobustMean } from './pooling/dependence/clusterRobust.ts';
export { sharedArmCovariance } from './pooling/dependence/sharedArmCovariance.ts';
export { fitThreeLevel, type ThreeLevelFit } from './pooling/dependence/threeLevel.ts';
export { fitBinomialNormal } from './pooling/fitBinomialNormal.ts';
export { meanIntervalMethods } from './pooling/meanIntervalMethods.ts';
export { notAComparison, poolBySite, type SitePools } from './pooling/poolBySite.ts';
export { poolEstimates } from './pooling/poolEstimates.ts';
export type { PooledRate } from './pooling/pooledRate.ts';
export type { PooledResult } from './pooling/pooledResult.ts';
export {
  meanIntervals,
  type PoolOptions,
  poolingModels,
  predictionIntervals,
  varianceEstimators,
  varianceIntervals,
} from './pooling/poolOptions.ts';
export { poolRates } from './pooling/poolRates.ts';
export { predictionIntervalMethods } from './pooling/predictionIntervalMethods.ts';
export { cochranMantelHaenszelTest } from './pooling/rareEvents/cochranMantelHaenszelTest.ts';
export { exactPoissonInterval, shouldersToRuleOut } from './pooling/rareEvents/exactLimits.ts';
export { type OneArmFit, oneArmMethodNames } from './pooling/rareEvents/oneArmFit.ts';
export { oneArmMethods } from './pooling/rareEvents/oneArmMethods.ts';
export { poolOneArm } from './pooling/rareEvents/poolOneArm.ts';
export { poolTwoArms } from './pooling/rareEvents/poolTwoArms.ts';
export { twoArmMethods } from './pooling/rareEvents/twoArmMethods.ts';
export {
  type TwoArmMeasure,
  type TwoArmMethodName,
  twoArmMeasures,
  twoArmMethodNames,
} from './pooling/rareEvents/twoArmOptions.ts';
export type { TwoArmPool } from './pooling/rareEvents/twoArmPool.ts';
export type { TwoArmTable } from './pooling/rareEvents/twoArmTable.ts';
export type { RatePoolOptions } from './pooling/ratePoolOptions.ts';
export { intervalGoesWith } from './pooling/resolvePoolOptions.ts';
export { varianceEstimatorMethods } from './pooling/varianceEstimatorMethods.ts';
export { varianceIntervalMethods } from './pooling/varianceIntervalMethods.ts';

// figures: results drawn

export { coverageRows } from './figures/coverageRows.ts';
export { forestPlot } from './figures/forestPlot.ts';
export { funnelPlot } from './figures/funnelPlot.ts';
export { type IntervalRow, type IntervalRowGroup, intervalRows } from './figures/intervalRows.ts';
export { sitesOverview } from './figures/sitesOverview.ts';

// tables: results as rows, and as sentences chosen by the numbers

export { heterogeneityTable } from './tables/heterogeneityTable.ts';
export { leftOutTable } from './tables/leftOutTable.ts';
export { methodsCheckTable } from './tables/methodsCheckTable.ts';
export { midGrooveNames, outcomeTable } from './tables/outcomeTable.ts';
export { agreesWithPrinted } from './tables/printedDigits.ts';
export { type PrintedFigure, printedTable } from './tables/printedTable.ts';
export { ratesBySiteTable } from './tables/ratesBySiteTable.ts';
export { describePooledRate, percentDigits, percentLimits, percentText } from './tables/rateText.ts';
export { cautionsReading } from './tables/readings/cautionsReading.ts';
export { limitsReading } from './tables/readings/limitsReading.ts';
export { methodsCheckReading } from './tables/readings/methodsCheckReading.ts';
export { outsideReading } from './tables/readings/outsideReading.ts';
export { predictionReading } from './tables/readings/predictionReading.ts';
export { ratesReading } from './tables/readings/ratesReading.ts';
export { sensitivityReading } from './tables/readings/sensitivityReading.ts';
export { smallStudiesReading } from './tables/readings/smallStudiesReading.ts';
export { zeroArmsReading, zeroArmsTable } from './tables/readings/zeroArmsReading.ts';
export { type NamedPools, overviewTable, sensitivityTable } from './tables/sensitivityTable.ts';
export { studiesTable } from './tables/studiesTable.ts';
export { type Table, type TableCell, type TableColumn, table } from './tables/table.ts';
export { tableToCsv } from './tables/tableToCsv.ts';
export { tableToHtml } from './tables/tableToHtml.ts';
export { tableToMarkdown } from './tables/tableToMarkdown.ts';
export { tableToText } from './tables/tableToText.ts';

// publishing: notebooks as pages

export { coverageInWorkers } from './publishing/coverageInWorkers.ts';
export type { Notebook } from './publishing/notebook.ts';
export { openNotebook } from './publishing/openNotebook.ts';
export { bulletList, joinProse, type Prose, prose } from './publishing/prose.ts';
export { protocolOptions } from './publishing/protocolOptions.ts';

// The library's table of contents, in the order data flows. Notebooks import from here only.

// numerics: what every stage may use

export { cohenKappa, type Kappa, type KappaOptions, kappaWeights } from './numerics/cohenKappa.ts';
export type { Interval } from './numerics/interval.ts';
export { seededUniform } from './numerics/seededUniform.ts';

// extraction: a folder of sheets, read, checked and harmonised

export {
  applyDecisions,
  type Consensus,
  type ConsensusReading,
  type DecidedDisagreement,
} from './extraction/agreement/applyDecisions.ts';
export type { ColumnAgreement } from './extraction/agreement/columnAgreement.ts';
export { type Comparison, compareExtractions } from './extraction/agreement/compareExtractions.ts';
export { consensusFiles } from './extraction/agreement/consensusFiles.ts';
export type { Disagreement } from './extraction/agreement/disagreement.ts';
export { type DecisionsReading, readDecisions } from './extraction/agreement/readDecisions.ts';
export {
  type Extraction,
  type ExtractionReading,
  readExtraction,
} from './extraction/agreement/readExtraction.ts';
export { type ArmEvents, sheetArmsOf } from './extraction/armEvents.ts';
export { compareReviews } from './extraction/changes/compareReviews.ts';
export type { CellChange, ReviewChanges, RuleChange } from './extraction/changes/reviewChanges.ts';
export type { ReviewVersion } from './extraction/changes/reviewVersion.ts';
export type { EventSelection, EventsLeftOut, SelectionDepartures } from './extraction/eventSelection.ts';
export { type FlowCounts, flowCounts } from './extraction/flowCounts.ts';
export { mergeArms } from './extraction/mergeArms.ts';
export {
  type OverlapCluster,
  overlapClusters,
  type SuspectedOverlap,
  suspectedOverlaps,
} from './extraction/overlapClusters.ts';
export { formatProblem, type Problem } from './extraction/problem.ts';
export { type MidGrooveRule, midGrooveRules, type Protocol } from './extraction/protocol.ts';
export { type ReviewFingerprint, reviewFingerprint } from './extraction/provenance/fingerprint.ts';
export { type Provenance, provenanceText, type SoftwareVersion } from './extraction/provenance/provenance.ts';
export { type VerifiedResult, verifyResult } from './extraction/provenance/verifyResult.ts';
export { readReview } from './extraction/readReview.ts';
export { readReviewFolder } from './extraction/readReviewFolder.ts';
export { isReported, type NotReported, notReported, type Reported } from './extraction/reported.ts';
export type { Review, ReviewReading } from './extraction/review.ts';
export type { RowAddress } from './extraction/rowAddress.ts';
export { selectEvents } from './extraction/selectEvents.ts';
export { type ClassifiedSite, type PooledSite, pooledSites, siteNames } from './extraction/site.ts';
export { type ReviewRow, reviewRows } from './extraction/trace/reviewRows.ts';
export { rowRanges } from './extraction/trace/rowRanges.ts';
export { type TracedRow, type TraceIndex, traceIndex } from './extraction/trace/traceIndex.ts';
export { type RowLeftOut, type Trace, traceOf } from './extraction/trace/traceOf.ts';

// effects: one reported result as one estimate with its variance

export {
  type AbsoluteEffect,
  absoluteEffect,
  type BaselineRisk,
  canRuleOutFewer,
} from './effects/absoluteEffect.ts';
export { analysisScales, contrastScales, rateScales } from './effects/analysisScale.ts';
export { backTransformRate } from './effects/backTransformRate.ts';
export type { Count, Estimate, LeftOut } from './effects/estimate.ts';
export { estimateRate } from './effects/estimateRate.ts';
export { estimateRates } from './effects/estimateRates.ts';
export { isEstimate } from './effects/isEstimate.ts';
export { naturalValue } from './effects/naturalValue.ts';
export { type PeopleAmong, type PeopleBase, peopleAmong, peopleBaseFor } from './effects/peopleAmong.ts';
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
export {
  meanDifference,
  meanDifferenceVariances,
  standardisedMeanDifference,
  standardisedVariances,
} from './effects/twoMeans.ts';
export { oddsRatio, riskDifference, riskRatio } from './effects/twoRates.ts';
export type { ZeroEvents } from './effects/zeroEvents.ts';

// pooling: many estimates as one summary, its heterogeneity, its prediction

export { type ArmNotInNumber, notInNumberSentence } from './pooling/armsInNumber.ts';
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
export {
  type FollowUpSpan,
  followUpSpan,
  isWideSpan,
  notesOnArms,
  type PatientsOfArms,
  patientsOfArms,
} from './pooling/notesOnArms.ts';
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
export { protocolOptions } from './pooling/protocolOptions.ts';
export { type QuotedMeasure, quotedMeasures } from './pooling/quoted/comparisonMethods.ts';
export type { MeasuredCoverage } from './pooling/quoted/measuredCoverage.ts';
export {
  type QuotedComparison,
  type QuotedComparisonAnswer,
  type QuotedComparisonOptions,
  quotedComparison,
} from './pooling/quoted/quotedComparison.ts';
export { type QuotedRateOptions, quotedFixes } from './pooling/quoted/quotedOptions.ts';
export {
  type QuotedArm,
  type QuotedRate,
  type QuotedRateAnswer,
  type QuotedRates,
  quotedRate,
  quotedRates,
} from './pooling/quoted/quotedRate.ts';
export { type QuotedEstimand, quotedEstimands } from './pooling/quoted/rateMethods.ts';
export { derSimonianLairdBeside } from './pooling/quoteSites.ts';
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

// comparison: the sites against each other

export {
  type ArmModeratorName,
  armModeratorNames,
  armModerators,
  moderatorRows,
  moderatorsReported,
} from './comparison/moderators/armModerators.ts';
export type { ArmRegression, ArmRegressionOptions } from './comparison/moderators/armRegression.ts';
export type { Covariate, CovariateValues, RegressionRow } from './comparison/moderators/covariate.ts';
export { fitMetaRegression } from './comparison/moderators/fitMetaRegression.ts';
export {
  betweenStudyContrast,
  type MetaRegression,
  type MetaRegressionOptions,
} from './comparison/moderators/metaRegression.ts';
export { type PermutationResult, permutationTest } from './comparison/moderators/permutationTest.ts';
export { predictRegression, type RegressionPrediction } from './comparison/moderators/predictRegression.ts';
export { regressArms } from './comparison/moderators/regressArms.ts';
export { type RegressionLine, regressionLine } from './comparison/moderators/regressionLine.ts';
export type { BivariateFit, BivariateOptions } from './comparison/multivariate/bivariateFit.ts';
export { pairOutcomes } from './comparison/multivariate/bivariateUnits.ts';
export { fitBivariate } from './comparison/multivariate/fitBivariate.ts';
export { type TradeOff, tradeOffBySite } from './comparison/multivariate/tradeOffBySite.ts';
export { comparisonAdjusted } from './comparison/network/comparisonAdjusted.ts';
export {
  decomposeInconsistency,
  type InconsistencyDecomposition,
} from './comparison/network/decomposeInconsistency.ts';
export { fitNetwork } from './comparison/network/fitNetwork.ts';
export { effectBetween, type League, leagueTable } from './comparison/network/leagueTable.ts';
export { type LoopInconsistency, loopInconsistency } from './comparison/network/loopInconsistency.ts';
export { mantelHaenszelNetwork } from './comparison/network/mantelHaenszelNetwork.ts';
export { networkStudyFromArms } from './comparison/network/networkFromArms.ts';
export { networkFromContrasts, type ReportedContrast } from './comparison/network/networkFromContrasts.ts';
export {
  type NodeOfArm,
  networkFromCounts,
  networkMeasures,
  siteOfArm,
} from './comparison/network/networkFromCounts.ts';
export { type NetworkOptions, networkIntervals } from './comparison/network/networkOptions.ts';
export type { NetworkComparison, NetworkPart, NetworkResult } from './comparison/network/networkResult.ts';
export type { NetworkStudy } from './comparison/network/networkStudy.ts';
export { networkVarianceEstimators } from './comparison/network/networkVariance.ts';
export { penalisedNetwork } from './comparison/network/penalisedNetwork.ts';
export { posteriorNetwork } from './comparison/network/posteriorNetwork.ts';
export { type Ranking, ranksAreNotCertainty, rankTreatments } from './comparison/network/rankTreatments.ts';
export { type NodeSplit, type SplitOptions, splitNodes } from './comparison/network/splitNodes.ts';
export { studyContributions } from './comparison/network/studyContributions.ts';
export { effectModifiers, type Transitivity, transitivity } from './comparison/network/transitivity.ts';
export { comparePairs, type SitePair, type SitePairs } from './comparison/pairs/comparePairs.ts';
export { contrastSingleArms, type SingleArmContrast } from './comparison/pairs/singleArmContrast.ts';
export { type PairLayers, siteLayers } from './comparison/pairs/siteLayers.ts';
export { subgroupDifferences } from './comparison/pairs/subgroupDifferences.ts';

// robustness: what would change the answer

export type { AuditFinding } from './robustness/audit/auditFinding.ts';
export { type Audit, auditReview } from './robustness/audit/auditReview.ts';
export { checkPercentage } from './robustness/audit/checkPercentage.ts';
export { checkPValue } from './robustness/audit/checkPValue.ts';
export { checkRatio } from './robustness/audit/checkRatio.ts';
export { checkDeviationGranularity, checkMeanGranularity } from './robustness/audit/granularity.ts';
export { type ChoiceGrid, choiceDimensions } from './robustness/choices/choiceGrid.ts';
export { type ChoiceOverrides, declareChoices } from './robustness/choices/declareChoices.ts';
export { lowQualityStudies } from './robustness/choices/lowQualityStudies.ts';
export { type ChoiceInfluence, rankChoices } from './robustness/choices/rankChoices.ts';
export {
  type ChoicesRun,
  type ChoiceTarget,
  runChoices,
  runChoicesAt,
} from './robustness/choices/runChoices.ts';
export { type ConclusionShare, shareOfConclusions } from './robustness/choices/shareOfConclusions.ts';
export { type ChoicesSummary, summariseChoices } from './robustness/choices/summariseChoices.ts';
export { checkClaim } from './robustness/claims/checkClaim.ts';
export type { CheckedClaim } from './robustness/claims/checkedClaim.ts';
export type { Claim } from './robustness/claims/claim.ts';
export { claimAgainstPool } from './robustness/claims/claimAgainstPool.ts';
export { fisherExact } from './robustness/claims/exactTwoArms.ts';
export { type Fragility, fragility } from './robustness/claims/fragility.ts';
export { type InformationSize, informationSize } from './robustness/claims/informationSize.ts';
export { readClaim } from './robustness/claims/readClaim.ts';
export { shouldersNeeded } from './robustness/claims/shouldersNeeded.ts';
export { type TrialSize, trialSampleSize } from './robustness/claims/trialSampleSize.ts';
export {
  type Cumulative,
  type CumulativeOrder,
  cumulative,
  cumulativePool,
} from './robustness/influence/cumulative.ts';
export { type InfluenceResult, influence, influenceMarks } from './robustness/influence/influence.ts';
export { type LeaveOneOut, leaveOneOut } from './robustness/influence/leaveOneOut.ts';
export { type WhatWouldChange, whatWouldChange } from './robustness/influence/whatWouldChange.ts';
export { type MissingBounds, missingBounds } from './robustness/missing/missingBounds.ts';
export { type MissingEvidence, missingEvidence } from './robustness/missing/missingEvidence.ts';
export {
  judgeMissingEvidence,
  type MissingJudgement,
  type MissingRecord,
} from './robustness/missing/missingJudgement.ts';
export { beggMazumdarTest, type RankCorrelation } from './robustness/smallStudies/beggMazumdarTest.ts';
export { type PrecisionEffect, precisionEffect } from './robustness/smallStudies/precisionEffectTests.ts';
export {
  eggerTest,
  harbordTest,
  petersTest,
  type RegressionTest,
  rateSizeTest,
} from './robustness/smallStudies/regressionTests.ts';
export { type SelectionModel, selectionModel } from './robustness/smallStudies/selectionModel.ts';
export {
  fewestStudiesForAsymmetry,
  type SmallStudyOptions,
  type SmallStudyRefusal,
} from './robustness/smallStudies/smallStudyAnswer.ts';
export {
  type SmallStudyTest,
  smallStudyTests,
  smallStudyTestsOfRates,
} from './robustness/smallStudies/smallStudyTests.ts';
export { type TrimAndFill, trimAndFill, trimAndFillBothWays } from './robustness/smallStudies/trimAndFill.ts';
export { type CloudDescription, describeCloud } from './robustness/subsets/describeCloud.ts';
export { isMember, memberCount, type SubsetCloud, subsetCloud } from './robustness/subsets/subsetCloud.ts';
export type { SubsetOptions } from './robustness/subsets/subsetPlan.ts';

// certainty: how sure a reader may be

export { openDecisions } from './answers/openDecisions.ts';
export {
  type BodyDesign,
  type BodyOfEvidence,
  bodyDesigns,
  type InHundred,
} from './certainty/bodyOfEvidence.ts';
export type { CertaintyDecision, OpenDecision, ReasonOpen } from './certainty/certaintyDecision.ts';
export { type CertaintyOptions, certaintyOfReview } from './certainty/certaintyOfReview.ts';
export type { CertaintyQuestion, ComparisonQuestion, RateQuestion } from './certainty/certaintyQuestion.ts';
export {
  type CertaintyDomain,
  type CertaintyLevel,
  type CertaintyRating,
  type CertaintyStep,
  certaintyDomains,
  certaintyLevels,
  type DomainJudgement,
  type EffectSize,
  effectSizes,
} from './certainty/certaintyRating.ts';
export type { CertaintyRuleOptions, CertaintyRules } from './certainty/certaintyRules.ts';
export { missingRecords } from './certainty/decisionsOfReview.ts';
export type { CertaintyEvidence, DeclaredDifference } from './certainty/domainProposal.ts';
export { fingerprintOfBody } from './certainty/fingerprintOfBody.ts';
export { networkCertainty } from './certainty/networkCertainty.ts';
export {
  type OpenDecisions,
  type OpenQuestion,
  openDecisionsAmong,
} from './certainty/openDecisions.ts';
export {
  type Concern,
  type ConcernReading,
  concerns,
  type QualityOptions,
} from './certainty/quality/concern.ts';
export { newcastleOttawaQuality } from './certainty/quality/newcastleOttawa.ts';
export { qualityForQuestion, type StudyQuality, studyQuality } from './certainty/quality/studyQuality.ts';
export { levelsText, rateCertainty } from './certainty/rateCertainty.ts';
export {
  type NetworkRating,
  type NetworkRatingOptions,
  rateNetworkEstimate,
} from './certainty/rateNetworkEstimate.ts';
export { standardSentence } from './certainty/standardSentence.ts';
export type { AnswerTold } from './changes/answerTold.ts';
export type {
  AnswerChange,
  ChangeReport,
  ConclusionChange,
  RecommendationChange,
} from './changes/changeReport.ts';
export { type CompareVersionsOptions, compareVersions } from './changes/compareVersions.ts';
export { type CauseSplit, splitByCause } from './changes/splitByCause.ts';
export { type CheckedSiteClaim, checkSiteClaim } from './claims/checkSiteClaim.ts';
export { readSiteClaim } from './claims/readSiteClaim.ts';
export { type SiteClaim, siteClaimExamples } from './claims/siteClaim.ts';

// answers: one answer to each question

export type {
  Answer,
  AnswerBody,
  AnswerCertainty,
  BaselineSaid,
  OtherBody,
  QuotedNumber,
} from './answers/answer.ts';
export { answerRecord, answersFile } from './answers/answersFile.ts';
export {
  type AnswerDepartures,
  answersOf,
  type OutcomeCounts,
  type ReviewAnswers,
  ratingsOf,
} from './answers/answersOf.ts';
export { type AnsweredLayers, type LayersOfEvidence, layersOfEvidence } from './answers/layersOfEvidence.ts';
export { networkRatingsOf } from './answers/networkAnswers.ts';
export { type PairToTell, pairToTell } from './answers/pairToTell.ts';
export { markedSentence, printAnswer, printLimits, printValue } from './answers/printAnswer.ts';
export { answerId, isAboutCounts, type Question, questionKinds, questionName } from './answers/question.ts';
export { type Verdict, verdictOnDifference, verdictOnRate, verdicts } from './answers/verdict.ts';
export { verdictClause } from './answers/verdictWords.ts';
export { bodyInWords, bodyName } from './certainty/bodyInWords.ts';

// figures: results drawn

export { agreementPicture } from './figures/agreementPicture.ts';
export { type BeforeAfterOptions, beforeAfter } from './figures/beforeAfter.ts';
export { bubblePlot } from './figures/bubblePlot.ts';
export { claimPicture } from './figures/claimPicture.ts';
export { coverageRows } from './figures/coverageRows.ts';
export { cumulativePlot } from './figures/cumulative.ts';
export { flowDiagram } from './figures/flowDiagram.ts';
export { forestPlot } from './figures/forestPlot.ts';
export { funnelPlot } from './figures/funnelPlot.ts';
export { influencePull } from './figures/influencePull.ts';
export { influenceRows } from './figures/influenceRows.ts';
export { type IntervalRow, type IntervalRowGroup, intervalRows } from './figures/intervalRows.ts';
export { missingMatrix } from './figures/missingMatrix.ts';
export { networkAgreement } from './figures/networkAgreement.ts';
export { layerNames, networkLayers } from './figures/networkLayers.ts';
export { networkMap } from './figures/networkMap.ts';
export { pairName, treatmentName } from './figures/networkNames.ts';
export { networkRanks } from './figures/networkRanks.ts';
export { networkTransitivity } from './figures/networkTransitivity.ts';
export { type PeopleGroup, peopleGrid } from './figures/peopleGrid.ts';
export { qualityGrid } from './figures/qualityGrid.ts';
export { radialPlot } from './figures/radialPlot.ts';
export { sitesOverview } from './figures/sitesOverview.ts';
export { specificationCurve } from './figures/specificationCurve.ts';
export { subsetCloudPlot } from './figures/subsetCloud.ts';
export { tradeOffPlot } from './figures/tradeOffPlot.ts';

// tables: results as rows, and as sentences chosen by the numbers

export {
  agreementReading,
  decisionsTable,
  differencesTable,
  kappaTable,
  workListTable,
} from './tables/agreementTables.ts';
export { auditLetter } from './tables/auditLetter.ts';
export { auditReading, auditTable } from './tables/auditTables.ts';

export { certaintyOverview, certaintySteps, questionText } from './tables/certaintySteps.ts';
export {
  cellsChangeTable,
  certaintyChangeTable,
  renamedTable,
  rowsChangeTable,
  rulesChangeTable,
} from './tables/changes/cellTables.ts';
export { type ChangePicture, changeDocument, inShort } from './tables/changes/changeDocument.ts';
export {
  conclusionsChangeTable,
  movedConclusionsTable,
  ordersTable,
  recommendationsChangeTable,
  splitTable,
  studiesChangeTable,
} from './tables/changes/changeTables.ts';
export { characteristicsTable } from './tables/characteristicsTable.ts';
export { checklistReading, checklistTable } from './tables/checklist/checklistTable.ts';
export { type ReportingChecklist, reportingChecklist } from './tables/checklist/reportingChecklist.ts';
export { choiceInfluenceTable, choicesRangeTable, conclusionsTable } from './tables/choicesTables.ts';
export { claimTable, informationTable, type NamedInformation } from './tables/claimTables.ts';
export { documentToHtml } from './tables/documentToHtml.ts';
export { documentToMarkdown } from './tables/documentToMarkdown.ts';
export { documentToWord } from './tables/documentToWord.ts';
export { certaintyMarks, certaintyText } from './tables/evidence/certaintyWords.ts';
export { settingText } from './tables/evidence/settingText.ts';
export {
  type ComparisonFindings,
  type EvidenceFigure,
  type EvidenceParts,
  evidenceDocument,
} from './tables/evidenceDocument.ts';
export { evidenceProfile } from './tables/evidenceProfile.ts';
export { heterogeneityTable } from './tables/heterogeneityTable.ts';
export { leftOutTable } from './tables/leftOutTable.ts';
export { manuscriptDocument } from './tables/manuscript/manuscriptDocument.ts';
export type { ManuscriptInput } from './tables/manuscript/manuscriptInput.ts';
export { manuscriptText, sentencesToSupply } from './tables/manuscript/manuscriptText.ts';
export type { Manuscript, Sentence } from './tables/manuscript/sentence.ts';
export { sentencesTable } from './tables/manuscript/sentencesTable.ts';
export { methodsCheckTable } from './tables/methodsCheckTable.ts';
export { missingBoundsTable, missingJudgementTable, missingTable } from './tables/missingTables.ts';
export { networkRatingTable } from './tables/networkRatingTable.ts';
export {
  contributionsTable,
  leagueAsTable,
  loopsTable,
  networkComparisonsTable,
  pText,
  transitivityTable,
} from './tables/networkTables.ts';
export { midGrooveNames, outcomeTable } from './tables/outcomeTable.ts';
export { overlapTable, suspectedOverlapTable } from './tables/overlapTables.ts';
export { aboutInHundred, type PlainRate } from './tables/plainWords/aboutInHundred.ts';
export { claimInWords } from './tables/plainWords/claimInWords.ts';
export { differenceInWords } from './tables/plainWords/differenceInWords.ts';
export { pairInWords } from './tables/plainWords/pairInWords.ts';
export { peopleOfPools } from './tables/plainWords/peopleOfPools.ts';
export { baseForPools, poolInWords } from './tables/plainWords/poolInWords.ts';
export { unknownsInWords } from './tables/plainWords/unknownsInWords.ts';
export { agreesWithPrinted } from './tables/printedDigits.ts';
export { type PrintedFigure, printedTable } from './tables/printedTable.ts';
export { qualityItemsTable, qualityTable } from './tables/qualityTable.ts';
export { rateFindings } from './tables/rateFindings.ts';
export { quotedNotes, ratesBySiteTable } from './tables/ratesBySiteTable.ts';
export { describePooledRate, percentDigits, percentLimits, percentText } from './tables/rateText.ts';
export { armNotesReading } from './tables/readings/armNotesReading.ts';
export { cautionsReading } from './tables/readings/cautionsReading.ts';
export { choicesReading } from './tables/readings/choicesReading.ts';
export { limitsReading } from './tables/readings/limitsReading.ts';
export { methodsCheckReading } from './tables/readings/methodsCheckReading.ts';
export { outsideReading } from './tables/readings/outsideReading.ts';
export { predictionReading } from './tables/readings/predictionReading.ts';
export { protocolReading } from './tables/readings/protocolReading.ts';
export { ratesReading } from './tables/readings/ratesReading.ts';
export { sensitivityReading } from './tables/readings/sensitivityReading.ts';
export { smallStudiesReading } from './tables/readings/smallStudiesReading.ts';
export { sizeTestReading, whatWouldChangeReading } from './tables/readings/whatWouldChangeReading.ts';
export { zeroArmsReading, zeroArmsTable } from './tables/readings/zeroArmsReading.ts';
export type { DocumentBlock, ReportDocument } from './tables/reportDocument.ts';
export { sourcesText } from './tables/rowSources.ts';
export { type NamedPools, overviewTable, sensitivityTable } from './tables/sensitivityTable.ts';
export { absoluteEffectsTable, singleArmTable, siteLayersReading } from './tables/sitePairTables.ts';
export { studiesTable } from './tables/studiesTable.ts';
export { type ScoreFinding, summaryOfFindings } from './tables/summaryOfFindings.ts';
export {
  type CellValue,
  cellText,
  cellValue,
  type Footnote,
  type NotedCell,
  type RowGroup,
  type Table,
  type TableCell,
  type TableColumn,
  type TableParts,
  type TableRow,
  table,
} from './tables/table.ts';
export { tableToCsv } from './tables/tableToCsv.ts';
export { tableToHtml } from './tables/tableToHtml.ts';
export { tableToMarkdown } from './tables/tableToMarkdown.ts';
export { tableToText } from './tables/tableToText.ts';
export { type SiteChanges, smallStudiesTable, whatWouldChangeTable } from './tables/whatWouldChangeTable.ts';

// publishing: notebooks as pages

export { previousFolder, versionsOf } from './publishing/changes/previousVersion.ts';
export { coverageInWorkers } from './publishing/coverageInWorkers.ts';
export { type EvidenceOptions, evidenceOfReview } from './publishing/evidenceOfReview.ts';
export {
  extractorFolders,
  readExtractionFolder,
  readExtractorDecisions,
} from './publishing/extractionFolder.ts';
export { manuscriptResults } from './publishing/manuscript/manuscriptResults.ts';
export type { Notebook } from './publishing/notebook.ts';
export { openNotebook } from './publishing/openNotebook.ts';
export { poolingDepartures } from './publishing/poolingDepartures.ts';
export { bulletList, joinProse, type Prose, prose } from './publishing/prose.ts';
export { subsetsInWorkers } from './publishing/subsetsInWorkers.ts';
export { drawSlide } from './publishing/talk/drawSlide.ts';
export { layOutTalk } from './publishing/talk/layOutTalk.ts';
export { pptxOfTalk } from './publishing/talk/pptxOfTalk.ts';
export type { Slide, Talk } from './publishing/talk/slide.ts';
export {
  slideOfOutcome,
  slideOfPools,
  type TalkOptions,
  talkOfReview,
} from './publishing/talk/talkOfReview.ts';
export { ratioText, relativeText } from './wording/ratioText.ts';
export { agreeing, capital, counted, listed, signedFixed, whole } from './wording/words.ts';

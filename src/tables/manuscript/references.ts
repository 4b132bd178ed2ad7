import type {
  MeanInterval,
  PredictionIntervalMethod,
  VarianceEstimator,
  VarianceInterval,
} from '../../pooling/poolOptions.ts';

/**
 * Works a generated text can cite, as a reference list prints them. Authors, journals, volumes and first pages are
 * those of docs/methods.md where it names them; titles and last pages are from memory.
 */
export const references = {
  prisma:
    'Page MJ, McKenzie JE, Bossuyt PM, et al. The PRISMA 2020 statement: an updated guideline for reporting systematic reviews. BMJ 2021;372:n71.',
  'dersimonian-1986':
    'DerSimonian R, Laird N. Meta-analysis in clinical trials. Control Clin Trials 1986;7:177-188.',
  'dersimonian-2007':
    'DerSimonian R, Kacker R. Random-effects model for meta-analysis of clinical trials: an update. Contemp Clin Trials 2007;28:105-114.',
  'paule-1982':
    'Paule RC, Mandel J. Consensus values and weighting factors. J Res Natl Bur Stand 1982;87:377-385.',
  'hedges-1985': 'Hedges LV, Olkin I. Statistical methods for meta-analysis. Orlando: Academic Press; 1985.',
  'sidik-2005':
    'Sidik K, Jonkman JN. Simple heterogeneity variance estimation for meta-analysis. J R Stat Soc C 2005;54:367-384.',
  'schmidt-2015': 'Schmidt FL, Hunter JE. Methods of meta-analysis. 3rd ed. Thousand Oaks: Sage; 2015.',
  'hardy-1996':
    'Hardy RJ, Thompson SG. A likelihood approach to meta-analysis with random effects. Stat Med 1996;15:619-629.',
  'viechtbauer-2005':
    'Viechtbauer W. Bias and efficiency of meta-analytic variance estimators in the random-effects model. J Educ Behav Stat 2005;30:261-293.',
  'morris-1983':
    'Morris CN. Parametric empirical Bayes inference: theory and applications. J Am Stat Assoc 1983;78:47-55.',
  'follmann-1999':
    'Follmann DA, Proschan MA. Valid inference in random effects meta-analysis. Biometrics 1999;55:732-737.',
  'hartung-2001':
    'Hartung J, Knapp G. A refined method for the meta-analysis of controlled clinical trials with binary outcome. Stat Med 2001;20:3875-3889.',
  'rover-2015':
    'Röver C, Knapp G, Friede T. Hartung-Knapp-Sidik-Jonkman approach and its modification for random-effects meta-analysis with few studies. BMC Med Res Methodol 2015;15:99.',
  'noma-2011':
    'Noma H. Confidence intervals for a random-effects meta-analysis based on Bartlett-type corrections. Stat Med 2011;30:3304-3312.',
  'higgins-2009':
    'Higgins JPT, Thompson SG, Spiegelhalter DJ. A re-evaluation of random-effects meta-analysis. J R Stat Soc A 2009;172:137-159.',
  handbook:
    'Higgins JPT, Thomas J, Chandler J, et al, editors. Cochrane Handbook for Systematic Reviews of Interventions. Version 6.5. Cochrane; 2024.',
  'partlett-2017':
    'Partlett C, Riley RD. Random effects meta-analysis: coverage performance of 95% confidence and prediction intervals following REML estimation. Stat Med 2017;36:301-317.',
  'nagashima-2019':
    'Nagashima K, Noma H, Furukawa TA. Prediction intervals for random-effects meta-analysis: a confidence distribution approach. Stat Methods Med Res 2019;28:1689-1702.',
  'viechtbauer-2007':
    'Viechtbauer W. Confidence intervals for the amount of heterogeneity in meta-analysis. Stat Med 2007;26:37-52.',
  'jackson-2013':
    'Jackson D. Confidence intervals for the between-study variance in random effects meta-analysis using generalised Cochran heterogeneity statistics. Res Synth Methods 2013;4:220-229.',
  'cochran-1954':
    'Cochran WG. The combination of estimates from different experiments. Biometrics 1954;10:101-129.',
  'higgins-2002':
    'Higgins JPT, Thompson SG. Quantifying heterogeneity in a meta-analysis. Stat Med 2002;21:1539-1558.',
  'stijnen-2010':
    'Stijnen T, Hamza TH, Özdemir P. Random effects meta-analysis of event outcome in the framework of the generalized linear mixed model with applications in sparse data. Stat Med 2010;29:3046-3067.',
  'hamza-2008':
    'Hamza TH, van Houwelingen HC, Stijnen T. The binomial distribution of meta-analysis was preferred to model within-study variability. J Clin Epidemiol 2008;61:41-51.',
  'griffiths-1973':
    'Griffiths DA. Maximum likelihood estimation for the beta-binomial distribution and an application to the household distribution of the total number of cases of a disease. Biometrics 1973;29:637-648.',
  'venzon-1988':
    'Venzon DJ, Moolgavkar SH. A method for computing profile-likelihood-based confidence intervals. J R Stat Soc C 1988;37:87-94.',
  'mantel-1959':
    'Mantel N, Haenszel W. Statistical aspects of the analysis of data from retrospective studies of disease. J Natl Cancer Inst 1959;22:719-748.',
  'yusuf-1985':
    'Yusuf S, Peto R, Lewis J, et al. Beta blockade during and after myocardial infarction: an overview of the randomized trials. Prog Cardiovasc Dis 1985;27:335-371.',
  'clopper-1934':
    'Clopper CJ, Pearson ES. The use of confidence or fiducial limits illustrated in the case of the binomial. Biometrika 1934;26:404-413.',
  'wilson-1927':
    'Wilson EB. Probable inference, the law of succession, and statistical inference. J Am Stat Assoc 1927;22:209-212.',
  'brown-2001':
    'Brown LD, Cai TT, DasGupta A. Interval estimation for a binomial proportion. Stat Sci 2001;16:101-133.',
  'agresti-1998':
    'Agresti A, Coull BA. Approximate is better than "exact" for interval estimation of binomial proportions. Am Stat 1998;52:119-126.',
  'freeman-1950':
    'Freeman MF, Tukey JW. Transformations related to the angular and the square root. Ann Math Stat 1950;21:607-611.',
  'sterne-2011':
    'Sterne JAC, Sutton AJ, Ioannidis JPA, et al. Recommendations for examining and interpreting funnel plot asymmetry in meta-analyses of randomised controlled trials. BMJ 2011;343:d4002.',
  'hunter-2014':
    'Hunter JP, Saratzis A, Sutton AJ, et al. In meta-analyses of proportion studies, funnel plots were found to be an inaccurate method of assessing publication bias. J Clin Epidemiol 2014;67:897-903.',
  'page-2023':
    'Page MJ, Sterne JAC, Boutron I, et al. ROB-ME: a tool for assessing risk of bias due to missing evidence in systematic reviews with meta-analysis. BMJ 2023;383:e076754.',
  'guyatt-2008':
    'Guyatt GH, Oxman AD, Vist GE, et al. GRADE: an emerging consensus on rating quality of evidence and strength of recommendations. BMJ 2008;336:924-926.',
  'iorio-2015':
    'Iorio A, Spencer FA, Falavigna M, et al. Use of GRADE for assessment of evidence about prognosis: rating confidence in estimates of event rates in broad categories of patients. BMJ 2015;350:h870.',
  MINORS:
    'Slim K, Nini E, Forestier D, et al. Methodological index for non-randomized studies (MINORS): development and validation of a new instrument. ANZ J Surg 2003;73:712-716.',
  'RoB 2':
    'Sterne JAC, Savović J, Page MJ, et al. RoB 2: a revised tool for assessing risk of bias in randomised trials. BMJ 2019;366:l4898.',
  'ROBINS-I':
    'Sterne JA, Hernán MA, Reeves BC, et al. ROBINS-I: a tool for assessing risk of bias in non-randomised studies of interventions. BMJ 2016;355:i4919.',
  'Newcastle-Ottawa':
    'Wells GA, Shea B, O\u2019Connell D, et al. The Newcastle-Ottawa Scale (NOS) for assessing the quality of nonrandomised studies in meta-analyses. Ottawa Hospital Research Institute.',
} as const;
export type ReferenceId = keyof typeof references;

export const estimatorReference: Readonly<Record<VarianceEstimator, ReferenceId>> = {
  'dersimonian-laird': 'dersimonian-1986',
  'two-step-dersimonian-laird': 'dersimonian-2007',
  'paule-mandel': 'paule-1982',
  'hedges-olkin': 'hedges-1985',
  'sidik-jonkman': 'sidik-2005',
  'hunter-schmidt': 'schmidt-2015',
  'maximum-likelihood': 'hardy-1996',
  'restricted-maximum-likelihood': 'viechtbauer-2005',
  'empirical-bayes': 'morris-1983',
};

export const meanIntervalReference: Readonly<Record<MeanInterval, ReferenceId>> = {
  wald: 'dersimonian-1986',
  'student-t': 'follmann-1999',
  'hartung-knapp': 'hartung-2001',
  'truncated-hartung-knapp': 'rover-2015',
  'profile-likelihood': 'hardy-1996',
  'bartlett-profile-likelihood': 'noma-2011',
};

export const predictionReference: Readonly<Record<PredictionIntervalMethod, ReferenceId>> = {
  't-k-minus-2': 'higgins-2009',
  't-k-minus-1': 'handbook',
  'hartung-knapp': 'partlett-2017',
  't-k-minus-1-hartung-knapp': 'partlett-2017',
  bootstrap: 'nagashima-2019',
};

export const varianceIntervalReference: Readonly<Record<VarianceInterval, ReferenceId>> = {
  'q-profile': 'viechtbauer-2007',
  'generalised-q': 'jackson-2013',
  'profile-likelihood': 'hardy-1996',
  'profile-restricted-likelihood': 'viechtbauer-2007',
  'likelihood-wald': 'viechtbauer-2007',
};

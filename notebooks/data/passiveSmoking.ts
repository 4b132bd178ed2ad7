/**
 * Lung cancer in people who never smoked and live with a smoker: 37 studies, relative risk with its 95% interval.
 *
 * Hackshaw AK, Law MR, Wald NJ, BMJ 1997;315:980-988. The pooled result was seen on the page; the 37 rows are from
 * memory.
 */
export const passiveSmoking = [
  { study: 'Garfinkel 1981', relativeRisk: 1.18, lower: 0.9, upper: 1.54 },
  { study: 'Hirayama 1984', relativeRisk: 1.45, lower: 1.02, upper: 2.08 },
  { study: 'Butler 1988', relativeRisk: 2.02, lower: 0.48, upper: 8.56 },
  { study: 'Cardenas 1997', relativeRisk: 1.2, lower: 0.8, upper: 1.6 },
  { study: 'Chan 1982', relativeRisk: 0.75, lower: 0.43, upper: 1.3 },
  { study: 'Correa 1983', relativeRisk: 2.07, lower: 0.82, upper: 5.25 },
  { study: 'Trichopolous 1983', relativeRisk: 2.13, lower: 1.19, upper: 3.83 },
  { study: 'Buffler 1984', relativeRisk: 0.8, lower: 0.34, upper: 1.9 },
  { study: 'Kabat 1984', relativeRisk: 0.79, lower: 0.25, upper: 2.45 },
  { study: 'Lam 1985', relativeRisk: 2.01, lower: 1.09, upper: 3.72 },
  { study: 'Garfinkel 1985', relativeRisk: 1.23, lower: 0.81, upper: 1.87 },
  { study: 'Wu 1985', relativeRisk: 1.2, lower: 0.5, upper: 3.3 },
  { study: 'Akiba 1986', relativeRisk: 1.52, lower: 0.87, upper: 2.63 },
  { study: 'Lee 1986', relativeRisk: 1.03, lower: 0.41, upper: 2.55 },
  { study: 'Koo 1987', relativeRisk: 1.55, lower: 0.9, upper: 2.67 },
  { study: 'Pershagen 1987', relativeRisk: 1.03, lower: 0.61, upper: 1.74 },
  { study: 'Humble 1987', relativeRisk: 2.34, lower: 0.81, upper: 6.75 },
  { study: 'Lam 1987', relativeRisk: 1.65, lower: 1.16, upper: 2.35 },
  { study: 'Gao 1987', relativeRisk: 1.19, lower: 0.82, upper: 1.73 },
  { study: 'Brownson 1987', relativeRisk: 1.52, lower: 0.39, upper: 5.96 },
  { study: 'Geng 1988', relativeRisk: 2.16, lower: 1.08, upper: 4.29 },
  { study: 'Shimizu 1988', relativeRisk: 1.08, lower: 0.64, upper: 1.82 },
  { study: 'Inoue 1988', relativeRisk: 2.55, lower: 0.74, upper: 8.78 },
  { study: 'Kalandidi 1990', relativeRisk: 1.62, lower: 0.9, upper: 2.91 },
  { study: 'Sobue 1990', relativeRisk: 1.06, lower: 0.74, upper: 1.52 },
  { study: 'Wu-Williams 1990', relativeRisk: 0.79, lower: 0.62, upper: 1.02 },
  { study: 'Liu Z 1991', relativeRisk: 0.74, lower: 0.32, upper: 1.69 },
  { study: 'Jockel 1991', relativeRisk: 2.27, lower: 0.75, upper: 6.82 },
  { study: 'Brownson 1992', relativeRisk: 0.97, lower: 0.78, upper: 1.21 },
  { study: 'Stockwell 1992', relativeRisk: 1.6, lower: 0.8, upper: 3.0 },
  { study: 'Du 1993', relativeRisk: 1.19, lower: 0.66, upper: 2.13 },
  { study: 'Liu Q 1993', relativeRisk: 1.66, lower: 0.73, upper: 3.78 },
  { study: 'Fontham 1994', relativeRisk: 1.26, lower: 1.04, upper: 1.54 },
  { study: 'Kabat 1995', relativeRisk: 1.1, lower: 0.62, upper: 1.96 },
  { study: 'Zaridze 1995', relativeRisk: 1.66, lower: 1.12, upper: 2.45 },
  { study: 'Sun 1996', relativeRisk: 1.16, lower: 0.8, upper: 1.69 },
  { study: 'Wang T 1996', relativeRisk: 1.11, lower: 0.67, upper: 1.84 },
] as const;

/** As printed in the abstract: 24 % excess risk, 13 % to 36 %. */
export const passiveSmokingPrinted = {
  source: 'Hackshaw et al. 1997, abstract',
  relativeRisk: '1.24',
  lower: '1.13',
  upper: '1.36',
} as const;

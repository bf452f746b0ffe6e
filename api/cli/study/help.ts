export const studyForm = "FILE.csv --value COLUMN | --count COLUMN [--size COLUMN] [options]";

export const studyHelp = `Reads a table of measurements or counts, draws its control chart, and says in plain sentences what the limits rest on,
which points lie beyond them, and what an engineer must know before signing. It changes nothing and needs no running
product. Exit 0 whatever the chart says; exit 2 with one line when the file or the command is wrong.

What to chart (FILE.csv: a first line that names the columns, then one row after another in time order)
  --value A              column of measured values; for g units between events, for t time between events
  --value A,B[,...]      several columns that belong together (t2, mewma)
  --count C              column of counts: defective pieces, or defects
  --size N               column of how many were looked at, or how much (p, np, u, p-prime, u-prime)
  --subgroup S           column of labels; consecutive rows of one label are one subgroup
  --time T               column of times, in order: dates, times, or plain numbers. Where more than three usual
                         spacings lie between two points, patterns and moving ranges start anew
  --part P --nominal M   columns of the part and its nominal value (nominal, z-w)

Which chart (none given: one is chosen, and it is said why)
  --chart FORM           single values:    individuals, moving-average, ewma, cusum, q, residual, batch-mean
                         subgroups:        xbar-r, xbar-s, median-r, three-way (moving-average, ewma, cusum too)
                         defective pieces: p, np, p-prime          defects: c, u, u-prime
                         rare events:      g, t                    several parts: nominal, z-w
                         several columns:  t2, mewma
  --limits sigma|exact   limits at so many sigma (default), or of the statistic's own distribution
  --basis chart|overall  sigma by the chart's own estimator (default), or over all values
  --width K              half-width of the limits in sigma (3; ewma 2.86)
  --lambda L             weight of the newest point (ewma, mewma)
  --k K --h H            reference value and decision interval (cusum), in sigma of the plotted statistic
  --span N               points of a moving average or of a batch
  --centre C --sigma S   known values in place of estimates
  --baseline FROM:TO     rows the limits rest on, from 0, TO not included, on borders of subgroups (default: all)
  --rules R[,R...]       default beyond-limit,nine-on-one-side; also six-in-one-direction, fourteen-alternating,
                         two-of-three-beyond-two-sigma, four-of-five-beyond-one-sigma, fifteen-within-one-sigma,
                         eight-outside-one-sigma; none

Capability (with --value)
  --lower L --upper U    limits of the specification, one or both (nominal: of the deviation from nominal)
  --target T             the value aimed at (Cpm)
  --confidence P         of all intervals, default 0.95

How to read the file (what was guessed is said among the cautions)
  --separator comma|semicolon|tab    --decimal point|comma    --encoding utf-8|latin-1
  An empty field in a column of values is a missing value and holds its place.

What comes out
  in the terminal        the charts in characters, and the sentences
  --json                 one JSON object at full precision on standard output, instead
  --svg FILE             the charts as a picture         --html FILE   one page with charts, sentences and all points

Examples, one for each family of charts
  steadypour study shots.csv --value plateau --chart individuals --lower 0.85 --upper 0.95
  steadypour study weights.csv --value weight --subgroup batch --chart xbar-s --baseline 0:125
  steadypour study weights.csv --value weight --chart ewma --lambda 0.1 --centre 42.0
  steadypour study castings.csv --count scrap --size poured --chart p
  steadypour study leaks.csv --value shots_between --chart g
  steadypour study parts.csv --value length --part drawing --nominal target --chart nominal
  steadypour study sand.csv --value moisture,loi --chart t2`;

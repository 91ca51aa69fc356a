"""The SQL of the ready questions; ``asked`` is ``scenarios``, of drawn tests with ``fails`` by the set of limits asked about."""

from __future__ import annotations

from typing import Final

from headstock.brake_test.blind_spots import NEARLY_ALWAYS, NO_MORE_THAN
from headstock.usecases.job_mistakes import LEAST
from headstock.usecases.study_questions import SOON

_SHARES = """
    round(sum(if(fails, 0.0, weight)) filter (faults = 1) / sum(weight) filter (faults = 1), 9) as missed,
    avg(fails::int) filter (faults = 0) as false_alarms"""
"""Rounded: sums come in any order of parts, and their last figures with it."""
SILENT = "verdict in ('unseen', 'latent')"
_SEEN = """
        with healthy as (select job, method, avg(fails::int) as healthy from asked where faults = 0 group by all),
        each as (select job, method, kind_1 as fault, severity_1 as severity, place_1 as place, count(*) as tests,
                 avg(fails::int) as seen from asked where faults = 1 group by all)"""
SQL: Final = {
    "blind-spots": f"""{_SEEN}
        select job, method, fault, severity, count(*) as places, sum(tests)::bigint as tests,
               case when max(seen) <= healthy + {NO_MORE_THAN} then 'never' when min(seen) >= {NEARLY_ALWAYS} then 'seen'
                    else 'in part' end as answer, min(seen) as least_seen, max(seen) as most_seen, healthy
        from each join healthy using (job, method) group by job, method, fault, severity, healthy
        order by job, method, most_seen, least_seen, fault, severity""",
    "by-fault": f"""{_SEEN}
        select method, fault, severity, count(distinct job) as trains, count(*) as places, sum(tests)::bigint as tests,
               case when bool_and(seen <= healthy + {NO_MORE_THAN}) then 'never'
                    when bool_and(seen >= {NEARLY_ALWAYS}) then 'seen' else 'in part' end as answer,
               round(1 - sum(seen * tests) / sum(tests), 9) as missed, 1 - max(seen) as least_missed, 1 - min(seen) as most_missed
        from each join healthy using (job, method) group by method, fault, severity
        order by method, missed desc, fault, severity""",
    "limit-curve": f"""
        with one as (select job, method, weight, faults, generate_subscripts(margins, 1) as number, unnest(margins) as margin,
                     len([one for one in margins if one < 0]) as outside from asked where faults < 2),
        moved as (select method, stage, moved_bar, weight, faults,
                  outside - coalesce(margin < 0, false)::int > 0 or coalesce(margin + moved_bar * sign < 0, false) as fails
                  from one join readings using (job, method, number) cross join steps where is_pressure)
        select method, stage, moved_bar, {_SHARES} from moved group by all order by method, stage, moved_bar""",
    "worst-formations": f"""
        select job, method, count(*) as tests, {_SHARES} from asked where faults < 2 group by all
        order by missed desc, false_alarms desc, job, method""",
    "season": f"""
        select method, weather, count(*) as tests, {_SHARES} from asked where faults < 2 group by all order by method, weather""",
    "unit-pairs": f"""
        select moving, standing, local_rules, answer, count(mistake) as mistakes,
               count_if(plausibility >= {LEAST}) as plausible,
               count_if(plausibility >= {LEAST} and len(broken) > 0) as one_from_harm,
               count_if(plausibility >= {LEAST} and len(broken) > 0 and {SILENT}) as harm_unnoticed,
               count_if({SILENT}) as by_nobody, count_if(verdict = 'noticed') as noticed,
               count_if(verdict = 'harmless') as harmless, any_value(array_to_string(reasons, '; ')) as reasons
        from asked join settings using (pair, local_rules) group by all
        order by mistakes = 0, harm_unnoticed desc, one_from_harm desc, moving, standing, local_rules""",
    "unnoticed": f"""
        select mistake, how, role, step, count(distinct (pair, local_rules)) as jobs, count(*) as mistakes,
               max(plausibility) as plausibility, count_if(verdict = 'latent') as into_service,
               count_if(len(broken) > 0) as breaks_a_rule, any_value(hurts[1] order by scenario) as hurts,
               any_value(left_wrong[1] order by scenario) as wrong_in_service
        from asked where {SILENT} group by mistake, how, role, step
        order by plausibility desc, jobs desc, breaks_a_rule desc, mistakes desc, mistake, how, role, step""",
    "how-late": f"""
        select local_rules, mistake, count(*) as mistakes,
               count_if(noticed_line <= lines and noticed_line - first <= 1) as at_once,
               count_if(noticed_line <= lines and noticed_line - first between 2 and {SOON}) as soon,
               count_if(noticed_line <= lines and noticed_line - first > {SOON}) as later,
               count_if(noticed_line > lines) as at_handover, count_if({SILENT}) as by_nobody,
               count_if(verdict = 'harmless') as harmless,
               median(noticed_line - first) as median_lines, max(noticed_line - first) as most_lines
        from asked where mistake is not null group by local_rules, mistake order by local_rules, mistake""",
}
"""By question; ``steps``: how far limits are moved."""

#include "sim/run.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <new>
#include <optional>
#include <span>
#include <stdexcept>

#include "models/constants.hpp"
#include "sim/parallel.hpp"
#include "sim/words.hpp"

namespace restwell {
namespace {

constexpr int chunk_day = 63;  // days the tank runs ahead of the pits: whole weeks, see renew_bins

std::runtime_error failed(const std::string& what, int index, Date date, const std::exception& e) {
  return std::runtime_error(
      fmt::format("{}, day {} ({}): {}", what, index, iso_date(date), e.what()));
}

// One clogging case in progress.
class CaseProgress {
 public:
  CaseProgress(const Scenario& scenario, const std::vector<Phase>& phases, const Scenario& past,
               const TypicalWeek& past_week, CaseRun& out)
      : scenario_(scenario), phases_(phases), out_(out) {
    const SiteLayout& site = phases.front().site;
    PitsAtStart start = pits_at_start(past, out.clog_case.biomat, past_week);
    out.notes = std::move(start.notes);
    for (std::size_t p = 0; p < site.pits.size(); ++p) {
      out.start_level_m.push_back(start.pits[p].water_m3 /
                                  storage_area_m2(site.pits[p].pit.geometry));
    }
    downstream_.emplace(scenario, site, out.clog_case.biomat, std::move(start.pits));
    out.days.resize(site.pits.size());
    out.pits.resize(site.pits.size());
    out.outlet_m3_by_year.resize(scenario.box.outlets.size());
    record_profile(0);
  }

  void day(int index, std::size_t phase, const BinnedEffluent& effluent) {
    if (is_followed_far_enough()) return;
    if (phase != phase_) {
      phase_ = phase;
      downstream_->lay_out_as(site());
    }
    const Date date = date_of(scenario_.start, index);
    const DownstreamDay* today = nullptr;
    try {
      today = &downstream_->day(effluent, date);
    } catch (const std::bad_alloc&) {
      throw;  // no matter on which day
    } catch (const std::exception& e) {
      throw failed(out_.clog_case.name, index, date, e);
    }
    const auto year = static_cast<std::size_t>(index / days_per_year);
    for (std::vector<double>& by_year : out_.outlet_m3_by_year) by_year.resize(year + 1, 0.0);
    for (std::size_t i = 0; i < site().outlets.size(); ++i) {
      out_.outlet_m3_by_year[site().outlet_config[i]][year] += today->outlet_m3[i];
    }
    out_.over_lid_m3.push_back(today->over_lid_m3);
    if (out_.first_leaves == never) {
      out_.leaves_at = leaving_words(scenario_, site(), *today);
      if (!out_.leaves_at.empty()) out_.first_leaves = index;
    }
    for (std::size_t p = 0; p < site().pits.size(); ++p) {
      const PitDay& pit = today->pits[p];
      out_.days[p].push_back(pit);
      PitMilestones& m = out_.pits[p];
      if (pit.full && m.first_full == never) m.first_full = index;
      if (pit.reaches_box && m.first_reaches_box == never) m.first_reaches_box = index;
      if (pit.overflow_m3 > noticed_m3 && m.first_overflow == never) m.first_overflow = index;
    }
    const bool no_reserve =
        std::all_of(today->pits.begin(), today->pits.end(), [](const PitDay& p) { return p.full; });
    if (no_reserve && out_.first_no_reserve == never) out_.first_no_reserve = index;
    const int next_year = static_cast<int>((index + 1) / days_per_year);
    if (next_year != static_cast<int>(index / days_per_year)) record_profile(index + 1);
  }

  void finish(int days) {
    // A run that ends half a day before its year does still has that year's profile.
    const auto year = [](int index) { return std::lround(index / days_per_year); };
    if (year(out_.profiles.back().day_index) != year(days)) record_profile(days);
    out_.ledger = downstream_->ledger();
    out_.water_held_end_m3 = downstream_->water_held_m3();
    for (std::size_t p = 0; p < site().pits.size(); ++p) {
      out_.capacity_m3_per_day.push_back(
          intake_when_full_m3_per_day(site().pits[p], downstream_->pits()[p].resistances_day()));
    }
  }

 private:
  [[nodiscard]] const SiteLayout& site() const { return phases_[phase_].site; }

  [[nodiscard]] bool is_followed_far_enough() const {
    if (out_.clog_case.follow == Follow::to_the_end || out_.first_leaves == never) return false;
    return out_.clog_case.follow == Follow::until_overflow ||
           std::ranges::none_of(out_.pits,
                                [](const PitMilestones& m) { return m.first_full == never; });
  }

  void record_profile(int index) {
    ClogProfile profile{index, {}};
    for (const PitState& p : downstream_->pits()) {
      profile.resistance_day.push_back(p.resistances_day());
    }
    out_.profiles.push_back(std::move(profile));
  }

  const Scenario& scenario_;
  const std::vector<Phase>& phases_;
  std::size_t phase_ = 0;
  CaseRun& out_;
  std::optional<Downstream> downstream_;
};

const TankDay& next_tank_day(Upstream& upstream, Date start, int index) {
  try {
    return upstream.next_day();
  } catch (const std::bad_alloc&) {
    throw;
  } catch (const std::exception& e) {
    throw failed("tank", index, date_of(start, index), e);
  }
}

// Puts a name before what failed.
template <typename Work>
decltype(auto) naming(const std::string& name, const Work& work) {
  try {
    return work();
  } catch (const std::bad_alloc&) {
    throw;
  } catch (const std::exception& e) {
    throw std::runtime_error(name.empty() ? e.what() : fmt::format("{}: {}", name, e.what()));
  }
}

TankRecord record(const TankDay& d) {
  return {d.inflow_m3, d.outflow_m3, d.foreign_m3, d.peak_outflow_m3_per_day,
          d.tss_in_kg, d.tss_out_kg, d.bod_out_kg, d.carried_over_kg,
          d.residents, d.layers,     d.readings,   d.pumped,
          d.refilling};
}

// The flows of a day, kept while days run the same course.
class CourseFlows {
 public:
  const FlowHistogram& of(const TankDay& day) {
    if (course_ == day.course) return flows_;
    course_ = day.course;
    flows_ = {};
    for (const EffluentStep& step : day.steps) flows_.add(step);
    return flows_;
  }

 private:
  int course_ = 0;
  FlowHistogram flows_;
};

const Scenario& past_of(const SiteToRun& site) {
  return site.past != nullptr ? *site.past : *site.scenario;
}

// Box and pits of one site in progress, a chunk of days at a time.
class SiteProgress {
 public:
  // splits: those made so far.
  SiteProgress(const SiteToRun& site, const TypicalWeek& week, FreeSplits& splits, RunResult& out)
      : site_(site), out_(out), chunk_(chunk_day), running_(site.cases.size()) {
    out.scenario = *site.scenario;
    out.site = lay_out(out.scenario);
    out.phases = phases(out.scenario);
    out.free_share = free_shares(week, out.site);
    out.cases.resize(site.cases.size());
    splits_ = free_splits(out.phases, splits);
    splits.insert(splits.end(), splits_.begin(), splits_.end());
  }

  void start(std::size_t f, const TypicalWeek& past_week) {
    out_.cases[f].clog_case = site_.cases[f];
    naming(site_.name, [&] {
      running_[f] = std::make_unique<CaseProgress>(out_.scenario, out_.phases, past_of(site_),
                                                   past_week, out_.cases[f]);
    });
  }

  // The day, k-th of the chunk, in bins; those of another site if its box is the same.
  void bin(int index, int k, const TankDay& day, const BinnedEffluent& strength,
           std::span<const SiteProgress> all) {
    while (phase_ + 1 < out_.phases.size() && out_.phases[phase_ + 1].first_day <= index) ++phase_;
    const Phase& phase = out_.phases[phase_];
    DayOfChunk& slot = chunk_[static_cast<std::size_t>(k)];
    slot.phase = phase_;
    slot.box = {phase.site.outlets.size(), splits_[phase_].get(), phase.hauled};
    for (const SiteProgress* other = all.data(); other != this; ++other) {
      const DayOfChunk& made = other->chunk_[static_cast<std::size_t>(k)];
      if (made.box != slot.box) continue;
      slot.effluent = made.effluent;
      return;
    }
    BinnedEffluent& own = slot.own.effluent;
    own.tss_kg_per_m3 = strength.tss_kg_per_m3;
    own.bod_kg_per_m3 = strength.bod_kg_per_m3;
    renew_bins(day, out_.scenario.limits.pit_step_day, slot.box, slot.own);
    slot.effluent = &own;
  }

  // Runs the chunk's days under one case.
  void days(std::size_t f, int first, int count) {
    naming(site_.name, [&] {
      for (int k = 0; k < count; ++k) {
        const DayOfChunk& slot = chunk_[static_cast<std::size_t>(k)];
        running_[f]->day(first + k, slot.phase, *slot.effluent);
      }
    });
  }

  void finish(int days) {
    for (const auto& one : running_) one->finish(days);
  }

 private:
  struct DayOfChunk {
    BoxInUse box;
    BinnedDay own;
    const BinnedEffluent* effluent = nullptr;
    std::size_t phase = 0;
  };
  const SiteToRun& site_;
  RunResult& out_;
  FreeSplits splits_;
  std::size_t phase_ = 0;
  std::vector<DayOfChunk> chunk_;
  std::vector<std::unique_ptr<CaseProgress>> running_;
};

}  // namespace

std::vector<RunResult> run_on_one_tank(const std::vector<SiteToRun>& sites,
                                       const Progress& progress, const RunOptions& options) {
  const Scenario& first = *sites.front().scenario;
  const Scenario& past = past_of(sites.front());
  TankRun tank;
  TypicalWeek past_week;
  naming(sites.front().name, [&] {
    tank.week = typical_week(first);
    past_week = &past != &first ? typical_week(past) : tank.week;
    tank.tank_start = options.tank_start ? *options.tank_start : tank_at_start(past);
    tank.pump_interval_day = pump_interval(first).value_or(never);
  });
  for (const Criterion c : all_criteria) tank.criteria.push_back({c, {}});

  std::vector<RunResult> results(sites.size());
  std::vector<SiteProgress> running;
  FreeSplits splits;
  struct CaseOfSite {
    std::size_t site, clog_case;
  };
  std::vector<CaseOfSite> cases;
  for (std::size_t i = 0; i < sites.size(); ++i) {
    running.emplace_back(sites[i], tank.week, splits, results[i]);
    for (std::size_t f = 0; f < sites[i].cases.size(); ++f) cases.push_back({i, f});
  }
  const auto each_case = [&](const auto& work) {
    for_each_parallel(
        cases.size(), [&](std::size_t c) { work(running[cases[c].site], cases[c].clog_case); },
        options.threads);
  };
  each_case([&](SiteProgress& site, std::size_t f) { site.start(f, past_week); });

  const int days = days_of_years(first.years);
  tank.tank.reserve(static_cast<std::size_t>(days));
  Upstream upstream(first, first.mode, tank.tank_start, true, past_week.mean_flow_m3_per_day);
  std::vector<CourseFlows> flows(chunk_day);
  BinnedEffluent strength;
  set_strength(past_week.days.back(), strength);
  std::vector<bool> met(tank.criteria.size(), false);
  std::vector<bool> cannot_keep;
  for (const CriterionDates& c : tank.criteria)
    cannot_keep.push_back(met_when_clean(c.criterion, first, tank.week.mean_flow_m3_per_day));
  for (int chunk = 0; chunk < days; chunk += chunk_day) {
    const int count = std::min(chunk_day, days - chunk);
    for (int k = 0; k < count; ++k) {
      const TankDay& day = naming(sites.front().name, [&]() -> const TankDay& {
        return next_tank_day(upstream, first.start, chunk + k);
      });
      if (day.pumped) {
        tank.pumped.push_back(chunk + k);
        std::fill(met.begin(), met.end(), false);
      }
      for (std::size_t c = 0; c < met.size(); ++c) {
        if (met[c] || cannot_keep[c] ||
            !criterion_met(tank.criteria[c].criterion, day.readings, first.tank.limits)) {
          continue;
        }
        met[c] = true;
        tank.criteria[c].met.push_back(chunk + k);
      }
      tank.tank.push_back(record(day));
      tank.effluent.add(flows[static_cast<std::size_t>(k)].of(day));
      set_strength(day, strength);
      for (SiteProgress& site : running) site.bin(chunk + k, k, day, strength, running);
    }
    each_case([&](SiteProgress& site, std::size_t f) { site.days(f, chunk, count); });
    progress.tell(static_cast<double>(chunk + count) / days);
  }
  tank.tank_ledger = upstream.ledger();
  tank.tank_water_end_m3 = upstream.water_held_m3();
  tank.tank_solids_end_kg = upstream.solids_held_kg();
  for (std::size_t i = 0; i < sites.size(); ++i) {
    running[i].finish(days);
    static_cast<TankRun&>(results[i]) = tank;
  }
  return results;
}

RunResult run(const Scenario& scenario, const std::vector<ClogCase>& cases,
              const Progress& progress, const RunOptions& options) {
  return std::move(
      run_on_one_tank({{&scenario, options.past, cases, ""}}, progress, options).front());
}

int first_pit_full(const CaseRun& c) {
  int first = never;
  for (const PitMilestones& p : c.pits) first = earlier_day(first, p.first_full);
  return first;
}

double worst_balance_error(const RunResult& r) {
  const TankLedger& t = r.tank_ledger;
  const auto misfit = [](double in, double out, double start, double end) {
    const double scale = std::max({in, out, start, end, 1e-9});
    return std::abs(in + start - out - end) / scale;
  };
  double worst = std::max(
      misfit(t.water_in, t.water_out + t.water_pumped, t.water_held_start, r.tank_water_end_m3),
      misfit(t.solids_in, t.solids_out + t.solids_digested + t.solids_pumped, t.solids_held_start,
             r.tank_solids_end_kg));
  for (const CaseRun& f : r.cases) {
    worst =
        std::max(worst, misfit(f.ledger.in + f.ledger.ground,
                               f.ledger.soil + f.ledger.surface + f.ledger.house + f.ledger.hauled,
                               f.ledger.held_start, f.water_held_end_m3));
  }
  return worst;
}

}  // namespace restwell

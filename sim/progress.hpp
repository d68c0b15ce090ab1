// How far a long piece of work has come.
#pragma once

#include <cstddef>
#include <functional>
#include <mutex>

namespace restwell {

struct Progress {
  std::function<void(double)> report;  // part done, 0..1; may be empty
  void tell(double part) const {
    if (report) report(part);
  }
};
#ifndef RESTWELL_ONE_THREAD
// Counts finished pieces of work of several threads, which together take progress from one part to
// another. Progress must outlive it.
class PieceCounter {
 public:
  PieceCounter(const Progress& progress, double from, double to, std::size_t pieces)
      : progress_(progress), from_(from), part_((to - from) / static_cast<double>(pieces)) {}
  void one_done() {
    const std::lock_guard lock(mutex_);
    progress_.tell(from_ + part_ * ++done_);
  }

 private:
  const Progress& progress_;
  double from_, part_;
  int done_ = 0;
  std::mutex mutex_;
};
#endif
}  // namespace restwell

// Independent pieces of work on all cores; the result does not depend on how many there are.
#pragma once

#include <cstddef>

#ifndef RESTWELL_ONE_THREAD
#include <algorithm>
#include <atomic>
#include <exception>
#include <system_error>
#include <thread>
#include <vector>
#endif

namespace restwell {

#ifdef RESTWELL_ONE_THREAD  // where there are no threads: in a web page

template <typename Work>
void for_each_parallel(std::size_t count, const Work& work, unsigned = 0) {
  for (std::size_t i = 0; i < count; ++i) work(i);
}

#else

// Calls work(i) for i in [0, count), each once. The exception of the lowest index is rethrown.
template <typename Work>
void for_each_parallel(std::size_t count, const Work& work, unsigned threads = 0) {
  if (threads == 0) threads = std::max(1u, std::thread::hardware_concurrency());
  std::vector<std::exception_ptr> failure(count);
  std::atomic<std::size_t> next{0};
  const auto worker = [&] {
    for (std::size_t i = next++; i < count; i = next++) {
      try {
        work(i);
      } catch (...) {
        failure[i] = std::current_exception();
      }
    }
  };
  {
    std::vector<std::jthread> others;
    try {
      for (unsigned t = 1; t < std::min<std::size_t>(threads, count); ++t)
        others.emplace_back(worker);
    } catch (const std::system_error&) {  // no more threads to be had: these do it
    }
    worker();
  }
  for (const std::exception_ptr& f : failure) {
    if (f) std::rethrow_exception(f);
  }
}

#endif

}  // namespace restwell

#include "sim/futures.hpp"

namespace restwell {

std::vector<Future> clogging_futures(const BiomatParameters& expected) {
  std::vector<Future> futures(5);
  futures[0] = {"expected", "the default of every clogging parameter", expected};
  return futures;
}

}  // namespace restwell

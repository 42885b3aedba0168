// Solves the feet that this patient may have, side by side, until they are done or the time is over.
#pragma once
#include "cases/forefoot/case.hpp"
#include "postprocess/sure/foot_sample.hpp"
#include "solver/results.hpp"
#include <cstdint>
#include <map>
#include <string>

namespace raybend {

struct SampleControl {
  std::size_t feet = 400; ///< drawn, at most; scouts go before them
  double minutes = 10;
  std::uint64_t seed = 1;
  bool shown = false; ///< progress on the terminal
};

/// `results`: the comparison's, by solve_key, from which each activity's instant is taken (the one that strains the reference's
/// painful ray most) and what the mesh changes at the instants solved. A signal that ends programs ends the sample: what is
/// there by then comes back. Throws std::runtime_error. Call it before MPI starts.
FootSample sample_feet(const Case &c, const std::map<std::string, StepResult> &results,
                       const SampleControl &control);

} // namespace raybend

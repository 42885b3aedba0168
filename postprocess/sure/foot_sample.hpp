// What was calculated to say how sure a comparison is, as plain values: feet that one patient may have, each under all designs.
#pragma once
#include <cstddef>
#include <string>
#include <vector>

namespace raybend {

/// A number of foot, load, shoe or insole that is known with a doubt.
struct UncertainNumber {
  std::string name;        ///< for people, with its unit
  std::string measured_by; ///< in clinic words; empty: nothing in a clinic tells it
  double value = 0, deviation = 0;
  bool measured = false;  ///< the case gives it: what is left is the error of measuring
  double measured_to = 0; ///< deviation that measuring it would leave
};

/// What one foot gave, an entry a design. Not a number where the design was not solved or does not carry.
struct FootOutputs {
  std::vector<double> strain;    ///< ue, of the painful ray; of several activities day-equivalent
  std::vector<double> head_rise; ///< ln of peak pressure over the reference's, the largest of the heads
  std::vector<double> ray_rise;  ///< ln of strain over the reference's, the largest of the other rays
  std::vector<double> evidence;  ///< one a PublishedNumber; empty: not asked
};

struct SolvedFoot {
  std::vector<double> z; ///< of each UncertainNumber: standard deviations from its value
  FootOutputs outputs;
  /// ln of how much likelier it was drawn than people have it, over how often it was drawn.
  double log_proposal = 0;
  bool only_barefoot = false; ///< its designs were not solved
  double kept = 1;            ///< chance with which they were to be, by what it showed barefoot
};

/// The painful ray's strain on two meshes, ue, an entry a design.
struct MeshPair {
  std::vector<double> coarse, fine;
};

/// Another way in which the model could be right, at the case's own numbers.
struct ModelAlternative {
  std::string name;
  FootOutputs outputs;
};
/// The question whose answers "kept" and "moments kept" are the two limits of what a person does.
constexpr const char *posture_question = "posture when the insole changes";
struct ModelQuestion {
  std::string name;
  std::vector<ModelAlternative> others; ///< besides what the case says
};

/// What is published of people walking barefoot.
struct PublishedNumber {
  std::string name, source;
  double mean = 0, deviation = 0; ///< over people
};

struct FootSample {
  std::vector<std::string> designs; ///< names
  std::size_t reference = 0;        ///< place in `designs`
  std::vector<UncertainNumber> numbers;
  std::vector<PublishedNumber> published;
  FootOutputs base; ///< the case's own numbers, on the mesh that the feet are solved on
  std::vector<SolvedFoot> feet;
  std::vector<ModelQuestion> model;
  std::vector<MeshPair> meshes;
  std::string trouble; ///< of a process that did not end well; what it had in hand is missing
  double seconds = 0;
};

} // namespace raybend

// Work side by side, each piece in a process of its own: designs, textbook cases. The one way in which this program
// keeps more than one core busy by itself.
#pragma once
#include <functional>
#include <string>
#include <vector>

namespace raybend {

/// How a piece of work talks to the process that waits for it.
class Talk {
public:
  explicit Talk(int descriptor) : descriptor_(descriptor) {}
  void say(const std::string &words) const;  ///< of its progress
  void send(const std::string &bytes) const; ///< a result or a part of it; may be called again

private:
  int descriptor_;
};

struct Work {
  double cost = 0; ///< the longest start first
  /// Runs in a process that was forked from this one, with everything that is in memory here; what it changes is lost
  /// but for what it sends. What it throws is told as what went wrong.
  std::function<void(const Talk &)> run;
};

/// What the waiting process hears; the number is the place of the work in the list.
struct Heard {
  std::function<void(std::size_t, const std::string &words)> said;
  std::function<void(std::size_t, const std::string &bytes)> received;
  /// It has ended; `trouble` is what went wrong, "" if nothing did; `killed`: it was ended by a signal.
  std::function<void(std::size_t, const std::string &trouble, bool killed)> finished;
};

/// One a core, at most 16.
unsigned process_count();

/// Runs each piece, process_count() at a time, fewer where the system lets no more be started. After a signal that ends
/// this process (SIGINT, SIGTERM, SIGHUP) the processes are ended and StoppedBySignal is thrown; std::runtime_error where
/// no process can be started. An exception of a function of `heard` ends them too and goes on to the caller. They end
/// when this process is killed. Their stdout goes nowhere, of their stderr the first words are told if they fail.
/// Call it before MPI starts in this process.
void run_side_by_side(const std::vector<Work> &work, const Heard &heard);

} // namespace raybend

// Starts MPI, then Catch.
#define CATCH_CONFIG_RUNNER
#include <catch2/catch.hpp>
#include <deal.II/base/mpi.h>

int main(int argc, char **argv) {
  const dealii::Utilities::MPI::MPI_InitFinalize mpi(argc, argv, 1);
  return Catch::Session().run(argc, argv);
}

#include <solid/deck.hpp>
#include <solid/results.hpp>
#include <solid/solve.hpp>
#include <solid/writer.hpp>

#include <fmt/format.h>

#include <array>
#include <atomic>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <stdexcept>
#include <thread>

namespace valve::validation::solid {
namespace {

/// Results of axisymmetric elements are those of a sector of 2°.
constexpr double sectors = 180.0;

void write(const std::filesystem::path& file, const std::string& text) {
    std::ofstream out(file);
    out << text;
    if (!out.flush()) throw std::runtime_error(fmt::format("cannot write {}", file.string()));
}

/// Runs ccx on a deck of `folder`; its messages go to a log beside it. False where it fails.
bool run(const std::filesystem::path& folder, const std::string& name) {
    const std::string command =
        fmt::format("cd '{}' && OMP_NUM_THREADS=1 exec ccx -i {} >{}.log 2>&1", folder.string(), name, name);
    return std::system(command.c_str()) == 0;
}

/// Input of one run.
struct Deck {
    std::string name;
    std::string text;
};

/// Two at a time. The results lie in the folder, by the decks' names.
void run_all(const std::vector<Deck>& decks, const std::filesystem::path& folder) {
    if (std::system("command -v ccx >/dev/null") != 0)
        throw std::runtime_error("CalculiX's ccx is not on the PATH; Debian has it in calculix-ccx");
    std::filesystem::create_directories(folder);
    for (const Deck& deck : decks) {
        write(folder / (deck.name + ".inp"), deck.text);
        std::filesystem::remove(folder / (deck.name + ".dat")); // of an earlier run
    }
    std::vector<char> good(decks.size(), 0);
    std::atomic<std::size_t> next{0};
    auto work = [&] {
        for (std::size_t i = next++; i < decks.size(); i = next++)
            good[i] = run(folder, decks[i].name) ? 1 : 0;
    };
    std::array<std::thread, 2> workers{std::thread(work), std::thread(work)};
    for (std::thread& worker : workers)
        worker.join();
    for (std::size_t i = 0; i < decks.size(); ++i)
        if (good[i] == 0)
            throw std::runtime_error(
                fmt::format("ccx failed: see {}", (folder / (decks[i].name + ".log")).string()));
}

SolidPoint sum_up(const Job& job, const Mesh& mesh, const StepResult& result, double pressure) {
    SolidPoint point;
    point.pressure = pressure;
    point.seat_lift = mm * result.axial.at(seat_node(job.stack, mesh)) - job.stack.seat.height;
    point.ring_lift = mm * result.axial.at(ring_node(mesh));
    for (const ContactPair& pair : contact_pairs(mesh)) {
        const double force = sectors * std::abs(result.contact.at({pair.slave, pair.master}));
        if (pair.shims.first == 0)
            point.seat_force = force;
        else
            point.contact_forces[pair.shims] = force;
    }
    return point;
}

} // namespace

std::map<std::string, std::vector<SolidPoint>> solve(const std::vector<Job>& jobs,
                                                     const std::filesystem::path& folder) {
    std::vector<Mesh> meshes;
    std::vector<Deck> decks;
    for (const Job& job : jobs) {
        meshes.push_back(make_mesh(job.stack, job.fineness));
        decks.push_back({job.name, deck(job.stack, meshes.back(), job.pressures, job.fineness)});
    }
    run_all(decks, folder);

    std::map<std::string, std::vector<SolidPoint>> solved;
    for (std::size_t i = 0; i < jobs.size(); ++i) {
        std::vector<double> pressures = jobs[i].pressures;
        if (meshes[i].seat) pressures.insert(pressures.begin(), 0.0);
        const std::vector<StepResult> results = read_results(
            folder / (jobs[i].name + ".dat"), steps_per_load * static_cast<int>(pressures.size()));
        for (std::size_t k = 0; k < pressures.size(); ++k) {
            const StepResult& result = results[steps_per_load * (k + 1) - 1];
            solved[jobs[i].name].push_back(sum_up(jobs[i], meshes[i], result, pressures[k]));
        }
    }
    return solved;
}

std::map<std::string, std::vector<SectorPoint>> solve_sectors(const std::vector<SectorJob>& jobs,
                                                              const std::filesystem::path& folder) {
    std::vector<Sector> models;
    std::vector<Deck> decks;
    for (const SectorJob& job : jobs) {
        models.push_back(make_sector(job.stack, job.fineness, job.division));
        decks.push_back({job.name, deck(job.stack, models.back(), job.pressures, job.fineness)});
    }
    run_all(decks, folder);

    std::map<std::string, std::vector<SectorPoint>> solved;
    for (std::size_t i = 0; i < jobs.size(); ++i) {
        const std::vector<double>& pressures = jobs[i].pressures;
        const std::vector<StepResult> results = read_results(
            folder / (jobs[i].name + ".dat"), steps_per_load * static_cast<int>(pressures.size()));
        const auto [port, land] = seat_nodes(jobs[i].stack, models[i]);
        for (std::size_t k = 0; k < pressures.size(); ++k) {
            const StepResult& result = results[steps_per_load * (k + 1) - 1];
            solved[jobs[i].name].push_back(
                {pressures[k], mm * result.axial.at(port), mm * result.axial.at(land)});
        }
    }
    return solved;
}

std::map<std::string, double> buckling_pressures(const std::vector<SectorJob>& jobs, double step,
                                                 const std::filesystem::path& folder) {
    std::vector<Deck> decks;
    for (const SectorJob& job : jobs) {
        const Sector sector = make_sector(job.stack, job.fineness, job.division);
        decks.push_back({job.name, buckling_deck(job.stack, sector, job.pressures, step, job.fineness)});
    }
    run_all(decks, folder);

    std::map<std::string, double> pressures;
    for (const SectorJob& job : jobs)
        pressures[job.name] =
            job.pressures.back() + step * read_buckling_factor(folder / (job.name + ".dat"));
    return pressures;
}

} // namespace valve::validation::solid

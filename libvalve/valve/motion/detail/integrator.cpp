#include <valve/motion/detail/elimination.hpp>
#include <valve/motion/detail/integrator.hpp>

#include <fmt/format.h>

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_linearsolver.h>
#include <sundials/sundials_version.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <exception>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace valve::motion::detail {

namespace {

#ifdef SUN_COMM_NULL
SUNComm no_communicator() {
    return SUN_COMM_NULL;
}
#else
void* no_communicator() {
    return nullptr;
}
#endif

/// Messages of SUNDIALS go nowhere: the status says the same.
#if SUNDIALS_VERSION_MAJOR >= 7
void silence(SUNContext context, void* /*memory*/) {
    SUNContext_ClearErrHandlers(context);
}
#else
void ignore(int /*code*/, const char* /*module*/, const char* /*function*/, char* /*message*/,
            void* /*data*/) {}
void silence(SUNContext /*context*/, void* memory) {
    CVodeSetErrHandlerFn(memory, ignore, nullptr);
}
#endif

std::span<const double> values(N_Vector vector) {
    return {NV_DATA_S(vector), static_cast<std::size_t>(NV_LENGTH_S(vector))};
}
std::span<double> mutable_values(N_Vector vector) {
    return {NV_DATA_S(vector), static_cast<std::size_t>(NV_LENGTH_S(vector))};
}

// Distributions build SUNDIALS without optimisation: its loops over a dozen numbers would cost more than the
// equations. These are the same, of the operations that each step needs most.

// In place of where a result may be one of the vectors it is made of there are two loops, in which none
// overlaps another; compilers need not ask then.

void add(const sunrealtype* __restrict x, sunrealtype* __restrict result, sunindextype size) {
    for (sunindextype i = 0; i < size; ++i)
        result[i] += x[i];
}

/// result = a result + b x
void mix(sunrealtype a, sunrealtype b, const sunrealtype* __restrict x, sunrealtype* __restrict result,
         sunindextype size) {
    for (sunindextype i = 0; i < size; ++i)
        result[i] = a * result[i] + b * x[i];
}

void mix(sunrealtype a, const sunrealtype* __restrict x, sunrealtype b, const sunrealtype* __restrict y,
         sunrealtype* __restrict result, sunindextype size) {
    for (sunindextype i = 0; i < size; ++i)
        result[i] = a * x[i] + b * y[i];
}

void linear_sum(sunrealtype a, N_Vector x, sunrealtype b, N_Vector y, N_Vector result) {
    const sunindextype size = NV_LENGTH_S(result);
    if (x == y)
        N_VScale(a + b, x, result);
    else if (result == x && a == 1.0 && b == 1.0) // most of them: a step is foretold by sums
        add(NV_DATA_S(y), NV_DATA_S(result), size);
    else if (result == x)
        mix(a, b, NV_DATA_S(y), NV_DATA_S(result), size);
    else if (result == y)
        mix(b, a, NV_DATA_S(x), NV_DATA_S(result), size);
    else
        mix(a, NV_DATA_S(x), b, NV_DATA_S(y), NV_DATA_S(result), size);
}

void scale(sunrealtype c, N_Vector x, N_Vector result) {
    const sunrealtype* const __restrict p = NV_DATA_S(x);
    sunrealtype* const __restrict z = NV_DATA_S(result);
    const sunindextype size = NV_LENGTH_S(result);
    if (x != result)
        for (sunindextype i = 0; i < size; ++i)
            z[i] = c * p[i];
    else
        for (sunindextype i = 0; i < size; ++i)
            z[i] *= c;
}

/// results_k = c_k x + y_k
int scale_and_add(int count, sunrealtype* c, N_Vector x, N_Vector* y, N_Vector* results) {
    for (int k = 0; k < count; ++k)
        linear_sum(1.0, y[k], c[k], x, results[k]);
    return 0;
}

void fill(sunrealtype c, N_Vector result) {
    std::fill_n(NV_DATA_S(result), NV_LENGTH_S(result), c);
}

sunrealtype weighted_norm(N_Vector x, N_Vector weights) {
    const sunrealtype* const p = NV_DATA_S(x);
    const sunrealtype* const w = NV_DATA_S(weights);
    const sunindextype size = NV_LENGTH_S(x);
    const auto square = [=](sunindextype i) { return p[i] * w[i] * (p[i] * w[i]); };
    std::array<double, 4> sums{}; // none waits for another
    sunindextype i = 0;
    for (; i + 3 < size; i += 4)
        for (sunindextype k = 0; k < 4; ++k)
            sums[static_cast<std::size_t>(k)] += square(i + k);
    double sum = (sums[0] + sums[1]) + (sums[2] + sums[3]);
    for (; i < size; ++i)
        sum += square(i);
    return std::sqrt(sum / static_cast<double>(size));
}

N_Vector new_vector(std::size_t size, SUNContext context) {
    N_Vector vector = N_VNew_Serial(static_cast<sunindextype>(size), context);
    vector->ops->nvlinearsum = linear_sum; // its clones have them, too
    vector->ops->nvscale = scale;
    vector->ops->nvscaleaddmulti = scale_and_add;
    vector->ops->nvconst = fill;
    vector->ops->nvwrmsnorm = weighted_norm;
    return vector;
}

Elimination& elimination(SUNLinearSolver solver) {
    return *static_cast<Elimination*>(solver->content);
}

SUNLinearSolver_Type elimination_type(SUNLinearSolver /*solver*/) {
    return SUNLINEARSOLVER_DIRECT;
}

int factorise(SUNLinearSolver solver, SUNMatrix jacobian) {
    return elimination(solver).factorise(SM_DATA_D(jacobian)) ? 0 : 1;
}

int eliminate(SUNLinearSolver solver, SUNMatrix /*matrix*/, N_Vector x, N_Vector b,
              sunrealtype /*tolerance*/) {
    scale(1.0, b, x);
    elimination(solver).solve(NV_DATA_S(x));
    return 0;
}

std::string reason(int flag) {
    switch (flag) {
    case CV_ERR_FAILURE:
        return "the error of a step stays too large, however short it is";
    case CV_CONV_FAILURE:
        return "the equations of a step are not met, however short it is";
    case CV_TOO_CLOSE:
        return "the step has shrunk to nothing";
    default:
        return fmt::format("the integrator gives up (status {})", flag);
    }
}

} // namespace

class Integrator::Implementation {
public:
    Implementation(Equations& equations, std::span<const double> absolute, double relative, int highest_order,
                   double solved_within)
        : m_equations(equations), m_relative(equations.size(), 0.0), m_solved_within(solved_within),
          m_highest_order(highest_order), m_order(highest_order), m_signs(equations.roots()),
          m_directions(equations.roots()), m_elimination(equations.coupled()) {
        if (absolute.size() != equations.size())
            throw std::invalid_argument("Integrator: an absolute tolerance for every unknown is needed");
        for (std::size_t i = 0; i < m_relative.size(); ++i)
            if (equations.errs_by_size(i)) m_relative[i] = relative;
        if (SUNContext_Create(no_communicator(), &m_context) != 0)
            throw std::runtime_error("Integrator: SUNDIALS gives no context");
        m_y = new_vector(equations.size(), m_context);
        m_tolerances = new_vector(equations.size(), m_context);
        m_view = N_VMake_Serial(static_cast<sunindextype>(equations.size()), nullptr, m_context);
        const auto coupled = static_cast<sunindextype>(equations.coupled());
        m_matrix = SUNDenseMatrix(coupled, coupled, m_context);
        m_solver = SUNLinSolNewEmpty(m_context);
        m_solver->content = &m_elimination;
        m_solver->ops->gettype = elimination_type;
        m_solver->ops->setup = factorise;
        m_solver->ops->solve = eliminate;
        m_memory = CVodeCreate(CV_BDF, m_context);
        if (m_memory == nullptr) throw std::runtime_error("Integrator: SUNDIALS gives no memory");
        silence(m_context, m_memory);
        std::copy(absolute.begin(), absolute.end(), mutable_values(m_tolerances).begin());
    }

    ~Implementation() {
        CVodeFree(&m_memory);
        SUNLinSolFreeEmpty(m_solver);
        SUNMatDestroy(m_matrix);
        N_VDestroy(m_view);
        N_VDestroy(m_tolerances);
        N_VDestroy(m_y);
        SUNContext_Free(&m_context);
    }
    Implementation(const Implementation&) = delete;
    Implementation& operator=(const Implementation&) = delete;

    void allow(double times, int highest_order, double first) {
        m_times = times;
        m_first = first;
        m_order = std::min(highest_order, m_highest_order);
    }

    void allow_sums(double absolute) {
        const std::span<double> tolerances = mutable_values(m_tolerances);
        std::fill(tolerances.begin() + static_cast<std::ptrdiff_t>(m_equations.coupled()), tolerances.end(),
                  absolute);
    }

    void start(double t, std::span<const double> y, double longest) {
        std::copy(y.begin(), y.end(), mutable_values(m_y).begin());
        m_time = t;
        begin_anew();
        if (!m_signs.empty()) {
            m_equations.directions(m_directions);
            require(CVodeSetRootDirection(m_memory, m_directions.data()), "CVodeSetRootDirection");
        }
        require(CVodeSetMaxStep(m_memory, longest), "CVodeSetMaxStep");
        m_longest = longest;
        m_faults = 0;
    }

    StepEnd step(double stop) {
        require(CVodeSetStopTime(m_memory, stop), "CVodeSetStopTime");
        m_fault = nullptr;
        int flag = CVode(m_memory, stop, m_y, &m_time, CV_ONE_STEP);
        int next_order = 0;
        require(CVodeGetCurrentOrder(m_memory, &next_order), "CVodeGetCurrentOrder");
        if (next_order > 1) m_begins = false;
        if (begins_anew_after(flag)) {
            m_fault = nullptr;
            begin_anew();
            require(CVodeSetStopTime(m_memory, stop), "CVodeSetStopTime");
            flag = CVode(m_memory, stop, m_y, &m_time, CV_ONE_STEP);
        }
        // Steps that get ever shorter before a fault would never end.
        double length = 0.0;
        require(CVodeGetLastStep(m_memory, &length), "CVodeGetLastStep");
        constexpr double tiny = 1e-6; // of the longest
        constexpr int most_faults = 100;
        if (length > tiny * m_longest)
            m_faults = 0;
        else if (m_fault)
            ++m_faults;
        if (m_fault && (flag < 0 || m_faults > most_faults)) std::rethrow_exception(m_fault);
        if (flag < 0) throw IntegrationFailure(reason(flag));
        if (flag == CV_ROOT_RETURN) {
            require(CVodeGetRootInfo(m_memory, m_signs.data()), "CVodeGetRootInfo");
            return StepEnd::root;
        }
        return flag == CV_TSTOP_RETURN ? StepEnd::stop : StepEnd::step;
    }

    void interpolate(double t, int order, std::span<double> result) const {
        NV_DATA_S(m_view) = result.data();
        require(CVodeGetDky(m_memory, t, order, m_view), "CVodeGetDky");
    }

    Effort effort() const {
        Effort sum = m_before;
        if (!m_started) return sum;
        long steps = 0;
        long rates = 0;
        long jacobians = 0;
        CVodeGetNumSteps(m_memory, &steps);
        CVodeGetNumRhsEvals(m_memory, &rates);
        CVodeGetNumJacEvals(m_memory, &jacobians);
        sum.steps += steps;
        sum.rates += rates;
        sum.jacobians += jacobians;
        return sum;
    }

    double time() const { return m_time; }
    std::span<const double> state() const { return values(m_y); }
    std::span<const int> signs() const { return m_signs; }

private:
    /// Of the errors allowed, those of steps of order 1 whose length is not given. Such a step takes ½ m
    /// (Δv)² from every mass, and steps of order 2 repeat what it erred: that was most of what a ride left
    /// open. It costs nothing, since the step after may be a thousand times as long.
    static constexpr double begins_within = 0.03;

    /// From `m_time` and `m_y`, without what has been learnt of the steps before.
    void begin_anew() {
        m_began = m_time;
        m_begins = true;
        set_sum_weights();
        if (m_started) {
            keep_effort();
            require(CVodeReInit(m_memory, m_time, m_y), "CVodeReInit");
        } else {
            begin(m_time);
        }
        require(CVodeSetMaxOrd(m_memory, m_order), "CVodeSetMaxOrd");
        require(CVodeSetInitStep(m_memory, m_first), "CVodeSetInitStep");
        constexpr double usual = 0.0;
        require(CVodeSetEtaMaxFirstStep(m_memory, m_first > 0.0 ? 10.0 : usual), "CVodeSetEtaMaxFirstStep");
        ++m_before.starts;
    }

    /// Those of the unknowns on which nothing depends, whose errors do not go with their size.
    void set_sum_weights() {
        const std::span<const double> absolute = values(m_tolerances).subspan(m_equations.coupled());
        m_sum_weights.resize(absolute.size());
        for (std::size_t i = 0; i < absolute.size(); ++i)
            m_sum_weights[i] = 1.0 / (m_times * absolute[i]);
    }

    /// A kink within a law, as the least height of a film, may leave steps behind that tell nothing of those
    /// ahead: then the state they led to is begun from, unless it has been just now.
    bool begins_anew_after(int flag) const {
        return (flag == CV_ERR_FAILURE || flag == CV_CONV_FAILURE) && m_time > m_began;
    }

    void begin(double t) {
        require(CVodeInit(m_memory, rates, t, m_y), "CVodeInit");
        require(CVodeSetUserData(m_memory, this), "CVodeSetUserData");
        require(CVodeWFtolerances(m_memory, weights), "CVodeWFtolerances");
        require(CVodeSetLinearSolver(m_memory, m_solver, m_matrix), "CVodeSetLinearSolver");
        require(CVodeSetLinSysFn(m_memory, linear_system), "CVodeSetLinSysFn");
        if (!m_signs.empty())
            require(CVodeRootInit(m_memory, static_cast<int>(m_signs.size()), watch), "CVodeRootInit");
        require(CVodeSetNoInactiveRootWarn(m_memory), "CVodeSetNoInactiveRootWarn");
        require(CVodeSetNonlinConvCoef(m_memory, m_solved_within), "CVodeSetNonlinConvCoef");
        // A longer step costs nothing, which they would have by a half only: a tenth fewer are needed.
        constexpr double worth_it = 1.2;
        require(CVodeSetEtaFixedStepBounds(m_memory, 0.0, worth_it), "CVodeSetEtaFixedStepBounds");
        m_started = true;
    }

    void keep_effort() { m_before = effort(); }

    static void require(int flag, const char* function) {
        if (flag < 0) throw std::logic_error(fmt::format("{}: status {}", function, flag));
    }

    /// 0: done, 1: try a shorter step, −1: give up. No exception may pass through the integrator's C.
    template <class Function>
    int guarded(const Function& function) {
        try {
            function();
            return 0;
        } catch (const SolveError&) {
            m_fault = std::current_exception();
            return 1;
        } catch (...) {
            m_fault = std::current_exception();
            return -1;
        }
    }

    static Implementation& self(void* data) { return *static_cast<Implementation*>(data); }

    static int rates(sunrealtype t, N_Vector y, N_Vector result, void* data) {
        Implementation& me = self(data);
        return me.guarded([&] { me.m_equations.rates(t, values(y), mutable_values(result)); });
    }

    /// A new Jacobian each time: it costs little beside the rounds that one no longer true takes more.
    static int linear_system(sunrealtype t, N_Vector y, N_Vector /*f*/, SUNMatrix result,
                             sunbooleantype /*is_true*/, sunbooleantype* is_new, sunrealtype gamma,
                             void* data, N_Vector /*a*/, N_Vector /*b*/, N_Vector /*c*/) {
        Implementation& me = self(data);
        *is_new = 1;
        me.m_elimination.set_gamma(gamma);
        return me.guarded([&] {
            std::fill_n(SM_DATA_D(result), SM_LDATA_D(result), 0.0);
            me.m_equations.jacobian(t, values(y), Columns(SM_DATA_D(result), me.m_equations.coupled()));
        });
    }

    static int weights(N_Vector y, N_Vector result, void* data) {
        const Implementation& me = self(data);
        const double* const state = NV_DATA_S(y);
        const double* const absolute = NV_DATA_S(me.m_tolerances);
        const double* const relative = me.m_relative.data();
        const double closer = me.m_begins && !(me.m_first > 0.0) ? begins_within : 1.0;
        const double times = me.m_times * closer;
        double* const weight = NV_DATA_S(result);
        const std::size_t coupled = me.m_equations.coupled();
        for (std::size_t i = 0; i < coupled; ++i)
            weight[i] = 1.0 / (times * (relative[i] * std::abs(state[i]) + absolute[i]));
        for (std::size_t i = 0; i < me.m_sum_weights.size(); ++i)
            weight[coupled + i] = me.m_sum_weights[i] / closer;
        return 0;
    }

    static int watch(sunrealtype t, N_Vector y, sunrealtype* result, void* data) {
        Implementation& me = self(data);
        return me.guarded([&] { me.m_equations.watch(t, values(y), {result, me.m_signs.size()}); });
    }

    Equations& m_equations;
    std::vector<double> m_relative;    // of each unknown
    std::vector<double> m_sum_weights; // by the errors that what is not coupled may make
    double m_times = 1.0;              // the errors given
    double m_first = 0.0;              // step after a beginning; 0: any
    double m_solved_within;
    int m_highest_order;
    int m_order;
    std::vector<int> m_signs;
    std::vector<int> m_directions;
    SUNContext m_context = nullptr;
    N_Vector m_y = nullptr;
    N_Vector m_tolerances = nullptr;
    N_Vector m_view = nullptr; // of a state elsewhere
    SUNMatrix m_matrix = nullptr;
    SUNLinearSolver m_solver = nullptr;
    Elimination m_elimination;
    void* m_memory = nullptr;
    double m_time = 0.0;
    double m_began = 0.0;   // last
    bool m_begins = true;   // of order 1 so far
    double m_longest = 0.0; // step
    int m_faults = 0;       // in tiny steps, without a longer one between
    bool m_started = false;
    Effort m_before;
    std::exception_ptr m_fault; // in the last step, since it was begun anew if it was
};

Integrator::Integrator(Equations& equations, std::span<const double> absolute, double relative,
                       int highest_order, double solved_within)
    : m_implementation(
          std::make_unique<Implementation>(equations, absolute, relative, highest_order, solved_within)) {}
Integrator::~Integrator() = default;

void Integrator::allow(double times, int highest_order, double first) {
    m_implementation->allow(times, highest_order, first);
}
void Integrator::allow_sums(double absolute) {
    m_implementation->allow_sums(absolute);
}
void Integrator::start(double t, std::span<const double> y, double longest) {
    m_implementation->start(t, y, longest);
}
StepEnd Integrator::step(double stop) {
    return m_implementation->step(stop);
}
double Integrator::time() const {
    return m_implementation->time();
}
std::span<const double> Integrator::state() const {
    return m_implementation->state();
}
void Integrator::interpolate(double t, int order, std::span<double> result) const {
    m_implementation->interpolate(t, order, result);
}
std::span<const int> Integrator::signs() const {
    return m_implementation->signs();
}
Effort Integrator::effort() const {
    return m_implementation->effort();
}

} // namespace valve::motion::detail

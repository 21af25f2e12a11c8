#include <valve/motion/detail/integrator.hpp>

#include <Eigen/LU>
#include <fmt/format.h>

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_linearsolver.h>
#include <sundials/sundials_version.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <algorithm>
#include <cmath>
#include <exception>
#include <stdexcept>
#include <string>
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

void linear_sum(sunrealtype a, N_Vector x, sunrealtype b, N_Vector y, N_Vector result) {
    const sunrealtype* const p = NV_DATA_S(x);
    const sunrealtype* const q = NV_DATA_S(y);
    sunrealtype* const z = NV_DATA_S(result);
    for (sunindextype i = 0; i < NV_LENGTH_S(result); ++i)
        z[i] = a * p[i] + b * q[i];
}

void scale(sunrealtype c, N_Vector x, N_Vector result) {
    const sunrealtype* const p = NV_DATA_S(x);
    sunrealtype* const z = NV_DATA_S(result);
    for (sunindextype i = 0; i < NV_LENGTH_S(result); ++i)
        z[i] = c * p[i];
}

void fill(sunrealtype c, N_Vector result) {
    std::fill_n(NV_DATA_S(result), NV_LENGTH_S(result), c);
}

sunrealtype weighted_norm(N_Vector x, N_Vector weights) {
    const sunrealtype* const p = NV_DATA_S(x);
    const sunrealtype* const w = NV_DATA_S(weights);
    double sum = 0.0;
    for (sunindextype i = 0; i < NV_LENGTH_S(x); ++i)
        sum += p[i] * w[i] * (p[i] * w[i]);
    return std::sqrt(sum / static_cast<double>(NV_LENGTH_S(x)));
}

N_Vector new_vector(std::size_t size, SUNContext context) {
    N_Vector vector = N_VNew_Serial(static_cast<sunindextype>(size), context);
    vector->ops->nvlinearsum = linear_sum; // its clones have them, too
    vector->ops->nvscale = scale;
    vector->ops->nvconst = fill;
    vector->ops->nvwrmsnorm = weighted_norm;
    return vector;
}

int copy(SUNMatrix from, SUNMatrix to) {
    std::copy_n(SUNDenseMatrix_Data(from), SUNDenseMatrix_LData(from), SUNDenseMatrix_Data(to));
    return 0;
}

/// c A + I
int scale_and_add_identity(sunrealtype c, SUNMatrix matrix) {
    sunrealtype* const entries = SUNDenseMatrix_Data(matrix);
    const sunindextype rows = SUNDenseMatrix_Rows(matrix);
    for (sunindextype i = 0; i < SUNDenseMatrix_LData(matrix); ++i)
        entries[i] *= c;
    for (sunindextype i = 0; i < rows; ++i)
        entries[i * (rows + 1)] += 1.0;
    return 0;
}

/// Dense elimination of the coupled unknowns. The others stand alone: their block of I − γ J is the identity.
struct Elimination {
    sunindextype coupled = 0;
    Eigen::PartialPivLU<Eigen::MatrixXd> factors;
};

Elimination& elimination(SUNLinearSolver solver) {
    return *static_cast<Elimination*>(solver->content);
}

SUNLinearSolver_Type elimination_type(SUNLinearSolver /*solver*/) {
    return SUNLINEARSOLVER_DIRECT;
}

int factorise(SUNLinearSolver solver, SUNMatrix matrix) {
    Elimination& content = elimination(solver);
    content.factors.compute(
        Eigen::Map<const Eigen::MatrixXd>(SUNDenseMatrix_Data(matrix), content.coupled, content.coupled));
    return (content.factors.matrixLU().diagonal().array() != 0.0).all() ? 0 : 1;
}

int eliminate(SUNLinearSolver solver, SUNMatrix /*matrix*/, N_Vector x, N_Vector b,
              sunrealtype /*tolerance*/) {
    scale(1.0, b, x);
    const Eigen::PartialPivLU<Eigen::MatrixXd>& factors = elimination(solver).factors;
    const Eigen::MatrixXd& lu = factors.matrixLU();
    const Eigen::Index n = lu.rows();
    Eigen::Map<Eigen::VectorXd> unknowns(NV_DATA_S(x), n);
    unknowns.noalias() = factors.permutationP() * Eigen::Map<const Eigen::VectorXd>(NV_DATA_S(b), n);
    // Eigen's own substitution is made for larger systems.
    for (Eigen::Index j = 0; j < n; ++j)
        unknowns.tail(n - j - 1) -= unknowns[j] * lu.col(j).tail(n - j - 1);
    for (Eigen::Index j = n - 1; j >= 0; --j) {
        unknowns[j] /= lu(j, j);
        unknowns.head(j) -= unknowns[j] * lu.col(j).head(j);
    }
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
          m_directions(equations.roots()) {
        if (absolute.size() != equations.size())
            throw std::invalid_argument("Integrator: an absolute tolerance for every unknown is needed");
        for (std::size_t i = 0; i < m_relative.size(); ++i)
            if (equations.errs_by_size(i)) m_relative[i] = relative;
        if (SUNContext_Create(no_communicator(), &m_context) != 0)
            throw std::runtime_error("Integrator: SUNDIALS gives no context");
        m_y = new_vector(equations.size(), m_context);
        m_tolerances = new_vector(equations.size(), m_context);
        m_view = N_VMake_Serial(static_cast<sunindextype>(equations.size()), nullptr, m_context);
        m_elimination.coupled = static_cast<sunindextype>(equations.coupled());
        m_matrix = SUNDenseMatrix(m_elimination.coupled, m_elimination.coupled, m_context);
        m_matrix->ops->copy = copy; // its clones have them, too
        m_matrix->ops->scaleaddi = scale_and_add_identity;
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

    void allow(double times, int highest_order) {
        m_times = times;
        m_order = std::min(highest_order, m_highest_order);
    }

    void start(double t, std::span<const double> y, double longest) {
        std::copy(y.begin(), y.end(), mutable_values(m_y).begin());
        m_time = t;
        if (m_started) {
            keep_effort();
            require(CVodeReInit(m_memory, t, m_y), "CVodeReInit");
        } else {
            begin(t);
        }
        require(CVodeSetMaxOrd(m_memory, m_order), "CVodeSetMaxOrd");
        ++m_before.starts;
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
        const int flag = CVode(m_memory, stop, m_y, &m_time, CV_ONE_STEP);
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
    void begin(double t) {
        require(CVodeInit(m_memory, rates, t, m_y), "CVodeInit");
        require(CVodeSetUserData(m_memory, this), "CVodeSetUserData");
        require(CVodeWFtolerances(m_memory, weights), "CVodeWFtolerances");
        require(CVodeSetLinearSolver(m_memory, m_solver, m_matrix), "CVodeSetLinearSolver");
        require(CVodeSetJacFn(m_memory, jacobian), "CVodeSetJacFn");
        if (!m_signs.empty())
            require(CVodeRootInit(m_memory, static_cast<int>(m_signs.size()), watch), "CVodeRootInit");
        require(CVodeSetNoInactiveRootWarn(m_memory), "CVodeSetNoInactiveRootWarn");
        require(CVodeSetNonlinConvCoef(m_memory, m_solved_within), "CVodeSetNonlinConvCoef");
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

    static int jacobian(sunrealtype t, N_Vector y, N_Vector /*f*/, SUNMatrix result, void* data,
                        N_Vector /*a*/, N_Vector /*b*/, N_Vector /*c*/) {
        Implementation& me = self(data);
        return me.guarded([&] {
            SUNMatZero(result);
            me.m_equations.jacobian(t, values(y),
                                    Columns(SUNDenseMatrix_Data(result), me.m_equations.coupled()));
        });
    }

    static int weights(N_Vector y, N_Vector result, void* data) {
        const Implementation& me = self(data);
        const std::span<const double> state = values(y);
        const std::span<const double> absolute = values(me.m_tolerances);
        const std::span<double> weight = mutable_values(result);
        for (std::size_t i = 0; i < state.size(); ++i)
            weight[i] = 1.0 / (me.m_times * (me.m_relative[i] * std::abs(state[i]) + absolute[i]));
        return 0;
    }

    static int watch(sunrealtype t, N_Vector y, sunrealtype* result, void* data) {
        Implementation& me = self(data);
        return me.guarded([&] { me.m_equations.watch(t, values(y), {result, me.m_signs.size()}); });
    }

    Equations& m_equations;
    std::vector<double> m_relative; // of each unknown
    double m_times = 1.0;           // the errors given
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
    double m_longest = 0.0; // step
    int m_faults = 0;       // in tiny steps, without a longer one between
    bool m_started = false;
    Effort m_before;
    std::exception_ptr m_fault; // of the last step
};

Integrator::Integrator(Equations& equations, std::span<const double> absolute, double relative,
                       int highest_order, double solved_within)
    : m_implementation(
          std::make_unique<Implementation>(equations, absolute, relative, highest_order, solved_within)) {}
Integrator::~Integrator() = default;

void Integrator::allow(double times, int highest_order) {
    m_implementation->allow(times, highest_order);
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

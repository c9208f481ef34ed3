#pragma once

#include <QAbstractItemModel>
#include <optional>
#include <variant>
#include <vector>

#include "app/document/headlines.h"
#include "app/document/library_contents.h"

namespace beatwitness::app {

/// What a cell of the matrix says: one device in one session.
struct MatrixCell {
    enum class Kind {
        Empty,      ///< not worn
        Computing,  ///< recorded; its number is being worked out
        Number,     ///< headline number
        Unscored,   ///< recorded, but there is nothing to compare it with
        Failed,     ///< an attempt without a recording
        Planned,
    };
    Kind kind = Kind::Empty;
    std::optional<double> mae_bpm;
    bool refused = false;  ///< alignment was refused: the number is as recorded
    int colour = 0;        ///< index among the colours of traces

    friend bool operator==(const MatrixCell&, const MatrixCell&) = default;
};

enum class MatrixOrder { Date, Name, Headline };

/// The sessions of one project, grouped by activity: a row a session, a column a device. Planned sessions
/// that have not come yet stand below the others of their activity.
///
/// Wraps contents that never change; setContents() brings others. Column 0 is the session.
class MatrixModel : public QAbstractItemModel {
    Q_OBJECT

public:
    enum Roles { CellRole = Qt::UserRole, DayRole, IsHeadRole, IsPlannedRole };
    using RowId = std::variant<std::monostate, library::SessionId, library::PlannedId>;

    explicit MatrixModel(const Headlines& headlines, QObject* parent = nullptr);

    /// nullptr, or a project that is not there, empties it.
    void setContents(SharedContents contents, library::ProjectId project);
    void setFilter(const QString& words);
    /// `device`: of MatrixOrder::Headline.
    void setOrder(MatrixOrder order, Qt::SortOrder direction, library::DeviceId device = {});
    [[nodiscard]] MatrixOrder order() const { return order_; }
    [[nodiscard]] Qt::SortOrder direction() const { return direction_; }

    [[nodiscard]] library::ProjectId project() const { return project_; }
    [[nodiscard]] const std::vector<library::DeviceId>& devices() const { return devices_; }
    /// monostate for a group's head.
    [[nodiscard]] RowId rowId(const QModelIndex& index) const;
    [[nodiscard]] std::optional<library::SessionId> sessionAt(const QModelIndex& index) const;
    /// The activity of a row or of a group's head.
    [[nodiscard]] std::optional<library::ActivityId> activityAt(const QModelIndex& index) const;
    /// Of column 0; invalid where it is not shown.
    [[nodiscard]] QModelIndex indexOf(const RowId& row) const;
    [[nodiscard]] const MatrixCell& cell(const QModelIndex& index) const;
    /// Sessions in the project, filtered or not.
    [[nodiscard]] int sessionCount() const { return sessionCount_; }
    [[nodiscard]] int shownCount() const { return shownCount_; }
    [[nodiscard]] int plannedCount() const { return plannedCount_; }
    [[nodiscard]] int failedCount() const { return failedCount_; }
    /// "3 of 5 done" of a planned activity and device; empty where nothing was planned.
    [[nodiscard]] QString progressOf(int group, int column) const;
    /// Time-weighted mean absolute error over the project's sessions, bpm.
    [[nodiscard]] std::optional<double> pooledMae(library::DeviceId device) const;

    /// New numbers came.
    void refresh(const std::vector<library::SessionId>& sessions);

    [[nodiscard]] QModelIndex index(int row, int column, const QModelIndex& parent = {}) const override;
    [[nodiscard]] QModelIndex parent(const QModelIndex& index) const override;
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;
    [[nodiscard]] Qt::ItemFlags flags(const QModelIndex& index) const override;
    /// Only asks: renameAsked().
    bool setData(const QModelIndex& index, const QVariant& value, int role) override;
    [[nodiscard]] QStringList mimeTypes() const override;
    [[nodiscard]] QMimeData* mimeData(const QModelIndexList& indexes) const override;

signals:
    void renameAsked(const beatwitness::app::MatrixModel::RowId& row, const QString& name);

private:
    struct Row {
        LibraryContents::Session session;                      ///< nullptr of a planned one
        const library::PlannedParticulars* planned = nullptr;  ///< what it was planned as, if it was
        library::PlannedId plannedId;
        std::vector<MatrixCell> cells;
    };
    struct Group {
        std::optional<library::ActivityId> activity;
        QString label;
        std::vector<Row> rows;
    };

    void rebuild();
    void collect();
    void sort();
    void count();
    [[nodiscard]] bool passes(const library::SessionRow& session) const;
    [[nodiscard]] bool passes(const QString& text) const;
    [[nodiscard]] std::vector<MatrixCell> cellsOf(const Row& row) const;
    [[nodiscard]] MatrixCell cellOf(const Row& row, library::DeviceId device) const;
    /// The wearing that a cell stands for: one that recorded before one that failed.
    [[nodiscard]] static const library::WearingRow* wornIn(const Row& row, library::DeviceId device);
    /// A cell for tooltip and screen reader.
    [[nodiscard]] QString wordsOf(const Row& row, int column) const;
    [[nodiscard]] int colourOf(library::DeviceId device) const;
    [[nodiscard]] const Row* row(const QModelIndex& index) const;
    [[nodiscard]] QVariant rowData(const Row& row, int column, int role) const;
    [[nodiscard]] QVariant headData(int group, int column, int role) const;

    const Headlines& headlines_;
    SharedContents contents_;
    library::ProjectId project_;
    QString filter_;
    MatrixOrder order_ = MatrixOrder::Date;
    Qt::SortOrder direction_ = Qt::AscendingOrder;
    library::DeviceId sortDevice_;
    std::vector<library::DeviceId> devices_;
    std::vector<Group> groups_;
    int sessionCount_ = 0, shownCount_ = 0, plannedCount_ = 0, failedCount_ = 0;
};

/// The MIME type of dragged sessions: numbers, separated by blanks.
inline constexpr auto sessionsMimeType = "application/x-beatwitness-sessions";

}  // namespace beatwitness::app

"""The analyses of a session. A new one is a fold in its wing and an analyzer in this list."""

from benchmeter.checking.channel_roles import ChannelRoles
from benchmeter.checking.safety import SafetyWatch
from benchmeter.links.instruments.setup import RecoveryRule
from benchmeter.session.analysis import Analyzer
from benchmeter.session.analyzers.part_check_analyzer import PartCheckAnalyzer
from benchmeter.session.analyzers.recovery_analyzer import RecoveryAnalyzer
from benchmeter.session.analyzers.safety_analyzer import SafetyAnalyzer

__all__ = ["analyzers_for"]


def analyzers_for(roles: ChannelRoles, recovery: RecoveryRule) -> tuple[Analyzer, ...]:
    """One of each, new; a later one sees what an earlier one has found at the same moment."""
    safety = SafetyWatch()
    return (
        SafetyAnalyzer(roles, safety),
        PartCheckAnalyzer(roles, safety),
        RecoveryAnalyzer(roles, recovery),
    )

"""The columns of every table of data/: names in their order; a `?` after a name says that a cell may be empty.

data/README.md says what the columns hold and in which unit. `liquidus/` stands for each file of that folder, which is
named by its pair. Worked value: columns_of("liquidus/LiF-NaCl.csv") starts with x_b.
"""

FORMS = {
    "alloy_cathodes.csv": (
        "metal host kind x x_high? T_low_C T_high_C A? B_K? value_V? sigma_V source locator origin provenance caveat?"
    ),
    "alumina.csv": "quantity value unit sigma source locator origin provenance caveat?",
    "conductance.csv": (
        "salt1 x1 salt2? x2? form a b c d T_lo_K T_hi_K sigma_pct use source locator origin provenance unsure caveat?"
    ),
    "contaminants.csv": "salt contaminant kind x_b? eutectic_C sigma_K source locator origin provenance unsure caveat?",
    "density/metals.csv": (
        "metal phase chosen a_g_cm3? b_g_cm3_K? rho298_g_cm3? linear_expansion_per_MK? T_lo_K T_hi_K sigma_pct "
        "source locator origin provenance unsure caveat?"
    ),
    "density/mixing_volume.csv": (
        "salt1 x1 salt2 x2 T_K excess_cm3_mol sigma_cm3_mol use set source locator origin provenance caveat?"
    ),
    "density/mixtures.csv": (
        "system salt1 x1 salt2 x2 salt3? x3? salt4? x4? a_g_cm3 b_g_cm3_K T_lo_K T_hi_K sigma_pct use set scale_pct "
        "source locator origin provenance unsure caveat?"
    ),
    "density/salts.csv": (
        "salt chosen reason? a_g_cm3 b_g_cm3_K T_lo_K T_hi_K sigma_pct source locator origin provenance unsure caveat?"
    ),
    "diffusion.csv": "ion bath T_C low_cm2_s high_cm2_s source locator origin provenance caveat?",
    "double_salts.csv": (
        "formula salt_a count_a salt_b count_b melting entropy_J_mol_K? enthalpy_J_mol? source locator? origin "
        "provenance use unsure note?"
    ),
    "drying_steps.csv": (
        "bottle step T_C time_h cover nh4cl_mol_per_mol? nh4cl_g_per_g? water_left_mol do until source locator origin "
        "provenance caveat?"
    ),
    "exposure.csv": (
        "gas name body limit averaging value_ppm? value_mg_m3? year source locator origin provenance caveat?"
    ),
    "fires.csv": "metal put_out_with never nitride kept_under source locator origin provenance caveat?",
    "fitted/atlas.csv": (
        "metal kind rank bath T_C liquidus_C sigma_K first_solid verdict window_K first_metal status rests_on "
        "published? behind? made commit"
    ),
    "fitted/atomic_masses.csv": "element mass_g_mol origin",
    "fitted/density/excess_volume.csv": (
        "salt_a salt_b term value_cm3_mol sigma_cm3_mol T_lo_K T_hi_K rows rms_pct additive_rms_pct dissent_pct? "
        "sources origin caveat?"
    ),
    "fitted/density/excess_volume_covariance.csv": "salt_a salt_b term_1 term_2 covariance_cm6_mol2",
    "fitted/density/excess_volume_family.csv": "family sigma_pct measured_pairs origin",
    "fitted/gibbs/elements.csv": (
        "element phase T_lo_K T_hi_K c0_J_mol c1_J_mol_K c2_J_mol_K c3_J_mol_K2 c4_J_mol_K3 c5_J_K_mol source "
        "locator origin provenance caveat?"
    ),
    "fitted/gibbs/phases.csv": (
        "formula phase T_lo_K T_hi_K c0_J_mol c1_J_mol_K c2_J_mol_K c3_J_mol_K2 c4_J_mol_K3 c5_J_K_mol "
        "dCp_sigma_J_mol_K source locator origin provenance caveat?"
    ),
    "fitted/estimated_pairs.csv": ("salt_a salt_b x_b T_C first_solid sigma_K mean_sigma_K mean_sigma_after_K origin"),
    "fitted/gibbs/reactants.csv": (
        "species phase T_lo_K T_hi_K c0_J_mol c1_J_mol_K c2_J_mol_K c3_J_mol_K2 c4_J_mol_K3 c5_J_K_mol sigma_J_mol "
        "source locator origin provenance caveat?"
    ),
    "fitted/interactions.csv": "salt_a salt_b phase term value unit sigma fusion_a fusion_b origin",
    "fitted/interactions_covariance.csv": "salt_a salt_b row column covariance",
    "fitted/model_error.csv": "quantity value unit points origin note?",
    "fitted/pairs.csv": "salt_a salt_b status points rms_K? source? note?",
    "fitted/joint_equations.csv": (
        "equation kind salt1 salt2 salt3? salt4? x1 x2 x3? x4? T_C solid misfit_J_mol used source origin"
    ),
    "fitted/joint_gradients.csv": "equation salt1 salt2? salt3? parameter value",
    "fitted/joint_noise.csv": "equation other covariance_J2_mol2",
    "fitted/joint_shifts.csv": "salt1 salt2 salt3? parameter value sigma origin",
    "fitted/strengths.csv": "salt_a salt_b compound? value_J_mol sigma_J_mol origin",
    "fitted/ternary_terms.csv": "salt1 salt2 salt3 term value_J_mol sigma_J_mol points source? origin",
    "fitted/triple_answers.csv": "formula salt_a? salt_b? parameter value unit origin",
    "fitted/triple_energies.csv": "formula T_K energy_J_mol sigma_J_mol source origin",
    "fitted/vapour_complexes.csv": "salt_a salt_b formula term value unit sigma points sources? origin",
    "formation.csv": "formula dHf298_J_mol sigma_J_mol source locator origin provenance unsure caveat?",
    "gibbs/elements_handbook.csv": (
        "element phase T_lo_K transition_enthalpy_J_mol Cp_a_J_mol_K Cp_b_J_mol_K2 S298_J_mol_K? source locator "
        "origin provenance caveat?"
    ),
    "gibbs/handbook.csv": (
        "formula S298_J_mol_K Cp_solid_a_J_mol_K Cp_solid_b_J_mol_K2 dCp_fusion_J_mol_K dCp_fusion_sigma_J_mol_K "
        "source entropy_source locator origin provenance caveat?"
    ),
    "gibbs/reactants_handbook.csv": (
        "species dHf298_J_mol sigma_J_mol S298_J_mol_K Cp_a_J_mol_K Cp_b_J_mol_K2 source locator origin provenance "
        "caveat?"
    ),
    "harvest.csv": (
        "metal in_water in_acid in_alcohol take_out wash coalesce_above_K flux remelt store never source "
        "locator origin provenance "
        "caveat?"
    ),
    "host_metals.csv": (
        "host name melting_point_C density_g_cm3 alloy_melts_C? alloy_with? source locator origin provenance caveat?"
    ),
    "hydrates.csv": (
        "bottle salts water lost? common dry_by_C? steps cure nh4cl_mol_per_mol source locator origin provenance "
        "caveat?"
    ),
    "hydrolysis.csv": "salt water product product_count gas gas_count kind source locator origin provenance caveat?",
    "invariants.csv": (
        "salt_a salt_b kind x_b? x_b_sigma? T_C? T_sigma_K? solids? source locator? origin provenance use unsure "
        "caveat?"
    ),
    "joining_currents.csv": (
        "metal joins bath basis T_C current_A_cm2 calibrates source locator origin provenance caveat?"
    ),
    "liquidus/": "x_b T_C T_sigma_K solid? source locator origin provenance use unsure caveat?",
    "liquidus_sections.csv": (
        "salt_a salt_b x_b T_C T_sigma_K solid source locator origin provenance use unsure caveat?"
    ),
    "materials.csv": (
        "material roles oxides? chlorine_limit_C? air_limit_C? inert_limit_C? chlorides? fluorides? attack? note? "
        "source locator origin provenance caveat?"
    ),
    "melt_values.csv": (
        "system salt1 salt2 salt3? salt4? x1 x2 x3? x4? quantity of_salt? T_C value unit sigma source locator origin "
        "provenance unsure caveat?"
    ),
    "lower_valences.csv": "metal anion salts T_C? ion step_count words? source locator origin provenance caveat?",
    "melt_vapour.csv": ("salt_a salt_b x_b T_K p_Pa sigma_factor use source locator origin provenance unsure caveat?"),
    "metal_attack.csv": "material metal kind from_C? words source locator origin provenance caveat?",
    "metal_solubility.csv": "metal salt T_C mol_pct kind sigma_pct use source locator origin provenance unsure caveat?",
    "metals.csv": (
        "symbol name valence melting_point_K melting_point_sigma_K boiling_point_K fusion_enthalpy_J_mol source "
        "locator origin provenance caveat?"
    ),
    "mixing.csv": (
        "salt_a salt_b quantity x_b T_C value unit sigma source locator? origin provenance use unsure caveat?"
    ),
    "observations.csv": "word label supports against? also? source locator origin provenance caveat?",
    "oxide_solubility.csv": "oxide salt T_C low_mass_pct high_mass_pct source locator origin provenance caveat?",
    "practice_bands.csv": "metal anion deposit low_C high_C source locator origin provenance caveat?",
    "published_cells.csv": (
        "cell metal anion bath basis feed? cathode cathode_metal? T_C current_low_A_cm2? current_high_A_cm2? gap_cm? "
        "cell_low_V? cell_high_V? efficiency_low_pct? efficiency_high_pct? source locator origin provenance caveat?"
    ),
    "salts.csv": (
        "formula name cation anion charge group cation_radius_pm melting_point_K melting_point_sigma_K "
        "fusion_enthalpy_J_mol fusion_enthalpy_sigma_J_mol boiling_point_K? source fusion_source "
        "boiling_point_source? boiling_point_origin? radius_source locator origin provenance caveat?"
    ),
    "solid_solutions.csv": (
        "name salt_a salt_b extent lattice_of x_b_limit_in_a? x_a_limit_in_b? limit_T_C? critical_T_C? critical_x_b? "
        "source locator? origin provenance unsure caveat?"
    ),
    "sources.csv": "key authors year? title where? identifier? note?",
    "ternary.csv": (
        "system salt1 salt2 salt3 salt4? x1? x2? x3? x4? T_C T_sigma_K kind solids? source locator? origin "
        "provenance used_in_fit unsure caveat?"
    ),
    "trade_baths.csv": "metal bath basis source locator origin provenance caveat?",
    "triple_salts.csv": (
        "formula salt_a count_a salt_b count_b salt_c count_c melting T_C? T_sigma_K? source locator? origin "
        "provenance note?"
    ),
    "two_anion_facts.csv": "salts composition? kind T_C? source locator origin provenance unsure caveat?",
    "vessels.csv": (
        "vessel aliases? air_limit_C inert_limit_C chlorides fluorides attack source locator origin provenance caveat?"
    ),
    "viscosity.csv": (
        "salt1 x1 salt2? x2? form a b c d T_lo_K T_hi_K sigma_pct use source locator origin provenance unsure caveat?"
    ),
    "viscosity_metals.csv": "metal viscosity_mPa_s sigma_pct source locator origin provenance unsure caveat?",
    "volatility.csv": (
        "formula kind phase chosen log_base A B_K C D_per_K T_lo_K T_hi_K sigma_factor source locator origin "
        "provenance unsure caveat?"
    ),
}


def form_of(name: str) -> str | None:
    """The entry of FORMS for a table; None for one that is not listed."""
    return FORMS.get("liquidus/" if name.startswith("liquidus/") else name)


def columns_of(name: str) -> list[str]:
    """Column names of a listed table, in order."""
    return [word.rstrip("?") for word in (form_of(name) or "").split()]


def may_be_empty(name: str) -> set[str]:
    """Columns whose cells may be empty."""
    return {word[:-1] for word in (form_of(name) or "").split() if word.endswith("?")}
